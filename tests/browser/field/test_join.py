"""Phones of a crew: signing in, joining by the foreman's code, being shut out."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, expect
from tests.browser.crew import Phone, kept

from lapwright.store import Store, open_store
from lapwright.web.access import LOCAL
from lapwright.web.accounts import add_account
from lapwright.web.door import Door
from lapwright.web.morning import morning_app

PASSWORD = "a long enough password"


@pytest.fixture
def guarded(tmp_path: Path) -> Iterator[tuple[str, Store]]:
    """A service with accounts; its one account is the foreman Rosa's."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    store = open_store(str(tmp_path / "lapwright.db"))
    add_account(store, LOCAL, "Rosa", role="foreman", password=PASSWORD)
    app = morning_app(store, door=Door(login=True))
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="critical", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        thread.join(0.01)
    yield f"http://127.0.0.1:{port}/", store
    server.should_exit = server.force_exit = True
    thread.join(10)
    store.close()


def test_a_phone_joins_by_the_code_and_is_shut_out(
    browser: Browser, guarded: tuple[str, Store], tmp_path: Path
) -> None:
    """The foreman signs in and shows a code; the prober's phone follows it, records as itself,
    and after it is shut out keeps what it cannot send."""
    address, _ = guarded
    contexts = [browser.new_context(viewport={"width": 360, "height": 740}) for _ in range(2)]
    rosa, luz = (Phone(context.new_page(), address) for context in contexts)
    rosa.open()
    rosa.page.get_by_role("link", name=rosa.words["line.signed_out"]).click()
    rosa.fill("account", "Rosa")
    rosa.fill("password", PASSWORD)
    rosa.main("join.sign_in")
    rosa.until("start")
    rosa.start_day()
    rosa.until_sent()
    rosa.open("#/today/phones")
    rosa.fill("invite-name", "Luz")
    rosa.pick("role", "prober")
    rosa.main("phones.invite")
    luz.page.goto(rosa.page.locator(".link").inner_text())
    luz.fill("phone", "yellow case")
    luz.main("join.keep")
    luz.until("start")
    expect(luz.page.locator(".kit-rows")).to_contain_text("Invented school")
    luz.until_so("import('/field/app.js').then(({ facts }) => facts.value.size > 8)")
    luz.open("#/probe/defect/A-S001")
    luz.fill("station", "12")
    luz.main("defect.keep")
    luz.until("probe")
    luz.until_sent()
    (defect,) = [f for f in kept(tmp_path / "lapwright.db") if f["kind"] == "defect"]
    (person,) = [f for f in kept(tmp_path / "lapwright.db") if f["body"].get("name") == "Tom"]
    assert defect["entered_by"] != person["entered_by"]

    rosa.open("#/today")
    rosa.open("#/today/phones")
    rosa.page.locator("li").filter(has_text="yellow case").get_by_role("button").click()
    expect(rosa.page.locator("li").filter(has_text="yellow case")).to_contain_text(
        rosa.words["phones.revoked"]
    )
    luz.open("#/probe/defect/A-S001")
    luz.fill("station", "30")
    luz.main("defect.keep")
    luz.page.get_by_role("link", name=luz.words["line.signed_out"]).wait_for()
    assert luz.unsent() == 1
    for context in contexts:
        context.close()
