"""A page for trying parts of the field page, under the very headers of the real one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route

HERE = Path(__file__).parent
KINDS = {".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css"}


@pytest.fixture
def open_trial(browser: Browser, site: Any) -> Iterator[Callable[..., Page]]:
    """Open a page of this folder; no script may fail, nothing be refused, no request leave."""
    contexts, failures = [], []

    def trial(route: Route) -> None:
        path = HERE / route.request.url.split("/trial/")[1].split("?")[0]
        real = route.fetch(url=site.address)  # its headers are the ones under test
        assert "script-src 'self';" in real.headers["content-security-policy"]
        headers = {**real.headers, "content-type": KINDS[path.suffix]}
        headers.pop("content-length")
        route.fulfill(status=200, headers=headers, body=path.read_text(encoding="utf-8"))

    def note_request(url: str) -> None:
        if not url.startswith((site.address, f"blob:{site.address}")):
            failures.append(f"stranger: {url}")

    def opened(
        name: str = "empty.html", *, width: int = 360, height: int = 740, **more: Any
    ) -> Page:
        context = browser.new_context(viewport={"width": width, "height": height}, **more)
        contexts.append(context)
        context.route("**/trial/*", trial)
        context.on("request", lambda request: note_request(request.url))
        page = context.new_page()
        page.on("pageerror", lambda error: failures.append(str(error)))
        page.on(
            "console",
            lambda line: failures.append(line.text) if line.type in ("error", "warning") else None,
        )
        page.goto(f"{site.address}trial/{name}")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert failures == []
