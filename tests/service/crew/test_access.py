"""Who may do what: every address by every role and by nobody, every kind of fact by every role.

The tables here are written by hand from the agreed duties of each role, apart from those of the
program. An address or a kind without a row fails.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import httpx
import pytest
from fastapi.routing import APIRoute

from lapwright.record.fact import KINDS
from lapwright.record.ids import CREW_CHAIN
from lapwright.web.access import MAY_CALL, MAY_RECORD, ROLES
from lapwright.web.door import Guarded
from lapwright.web.morning import morning_app

pytestmark = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)

Call = Callable[..., Any]
JOB = "01976d00-0000-7000-8000-00000000000a"
SHA = "a" * 64

# F foreman, W welder, P prober, Q quality, I inspector, - nobody signed in.
MATRIX = {
    "GET /": "FWPQI-",
    "GET /join": "FWPQI-",
    "GET /api/me": "FWPQI-",
    "POST /api/sign-in": "FWPQI-",
    "POST /api/join": "FWPQI-",
    "POST /api/sign-out": "FWPQI",
    "GET /api/accounts": "F",
    "POST /api/accounts": "F",
    "GET /api/phones": "F",
    "POST /api/phones/{phone}/revoke": "F",
    "POST /api/invites": "F",
    "GET /api/kinds": "FWPQI",
    "GET /api/jobs": "FWPQI",
    "GET /api/jobs/{job}/facts": "FWPQI",
    "POST /api/jobs/{job}/facts": "FWPQI",
    "GET /api/jobs/{job}/today": "FWPQI",
    "GET /api/jobs/{job}/window": "FWPQI",
    "GET /api/jobs/{job}/chart": "FWPQI",
    "GET /api/jobs/{job}/table": "FWPQI",
    "GET /api/jobs/{job}/trace": "FWPQI",
    "GET /api/jobs/{job}/suspects": "FWPQI",
    "GET /api/jobs/{job}/shared": "FWPQI",
    "GET /api/jobs/{job}/symptoms": "FWPQI",
    "GET /api/jobs/{job}/archive": "FQI",
    "GET /api/jobs/{job}/closeout": "FQI",
    "GET /api/jobs/{job}/photos/{sha256}": "FWPQI",
    "PUT /api/jobs/{job}/photos/{sha256}": "FWPQI",
    "GET /api/example": "FWPQI",
    "POST /api/rows": "FWPQI",
    "POST /api/window": "FWPQI",
    "POST /api/plan": "FWPQI",
    "GET /api/quiz": "FWPQI",
    "POST /api/quiz/answers": "FWPQI",
    "POST /api/practice": "FWPQI",
}
BODIES: dict[str, Any] = {
    "POST /api/sign-in": {"account": "nobody", "password": "wrong"},
    "POST /api/join": {"token": "wrong"},
    "POST /api/accounts": {"name": "Invented", "role": "welder"},
    "POST /api/invites": {"name": "Invented", "role": "welder"},
    "POST /api/jobs/{job}/facts": {"facts": []},
    "POST /api/window": {"rows": []},
}
# What the two open addresses say to somebody whose password or link is wrong.
OPEN_BUT_WRONG = {"POST /api/sign-in": "sign_in_wrong", "POST /api/join": "invite_spent"}
CALLERS = dict(zip("FWPQI", ROLES, strict=True)) | {"-": "nobody"}

KINDS_OF = {  # agreed duties: who records what
    "welder": set(KINDS) - {"rules", "past_days", "sign_off", "person", "access"},
    "prober": {"probe", "defect", "reprobe", "repair", "photo", "conditions", "event",
               "correction"},
    "inspector": {"defect", "photo"},
    "foreman": set(KINDS) - {"access"},
    "quality": set(KINDS) - {"access"},
}  # fmt: skip


def addresses(routes: Any) -> Iterator[tuple[str, APIRoute]]:
    """Every address of the service, also one that its description hides."""
    for route in routes:
        inner = getattr(route, "original_router", None)
        if inner is not None:
            yield from addresses(inner.routes)
        elif isinstance(route, APIRoute):
            yield from ((f"{method} {route.path_format}", route) for method in route.methods)


def call(client: httpx.Client, address: str, **headers: str) -> httpx.Response:
    """A request to an address that would be in order, were its sender the right one."""
    method, path = address.split()
    path = path.format(job=JOB, sha256=SHA, phone="01976d00-0000-7000-8000-0000000000ff")
    return client.request(method, path, json=BODIES.get(address, {}), headers=headers)


def refused_at_the_door(response: httpx.Response) -> bool:
    """Whether the door refused, and not what lies behind it."""
    code = response.json()["error"]["code"] if response.status_code >= 400 else ""
    return code in ("sign_in_needed", "not_for_role", "csrf_missing")


def test_every_address_has_its_row(store: Any) -> None:
    """A new address is open to nobody until the program and this test say to whom."""
    found = dict(addresses(morning_app(store).routes))
    assert set(found) == set(MATRIX) == set(MAY_CALL)
    described = morning_app(store).openapi()["paths"]
    assert set(found) == {
        f"{method.upper()} {path}" for path, methods in described.items() for method in methods
    }
    assert all(isinstance(route, Guarded) for route in found.values())


@pytest.mark.parametrize("address", MATRIX)
def test_it_lets_in_whom_it_should_and_nobody_else(crew: Any, address: str) -> None:
    """Each role, and somebody without a session, gets exactly what the table says."""
    let_in = ""
    for letter, role in CALLERS.items():
        response = call(crew.client(role), address)
        assert response.status_code < 500, (role, response.text)
        if refused_at_the_door(response):
            assert response.status_code == (401 if role == "nobody" else 403)
        else:
            let_in += letter
            if code := OPEN_BUT_WRONG.get(address):
                assert response.json()["error"]["code"] == code
    assert let_in == MATRIX[address]


@pytest.mark.parametrize(
    "address", [one for one in MATRIX if not one.startswith("GET") and "-" not in MATRIX[one]]
)
def test_a_change_needs_the_token_of_the_page(crew: Any, address: str) -> None:
    """The cookie alone changes nothing: another site's page has it too, but not the token."""
    for wrong in ("", "csrf-welder", "csrf-forema"):
        response = call(crew.client("foreman"), address, **{"X-CSRF": wrong})
        assert response.status_code == 403
        assert response.json()["error"]["code"] == "csrf_missing"


@pytest.mark.parametrize("address", [one for one in MATRIX if not one.startswith("GET")])
def test_no_other_site_acts_through_the_browser(crew: Any, address: str) -> None:
    """A change that another page asks for is refused, whoever is signed in."""
    foreman = crew.client("foreman")
    for origin in ("http://elsewhere.example", "null", "http://127.0.0.1:1"):
        response = call(foreman, address, Origin=origin)
        assert response.status_code == 403
        assert response.json()["error"]["code"] == "cross_site"


def test_its_own_page_is_no_other_site(crew: Any) -> None:
    """A browser names the page's own address with every change, and that is let through."""
    own = call(crew.client("foreman"), "POST /api/invites", Origin=crew.address)
    assert own.status_code == 201


def test_without_login_only_this_machine_is_served(alone: httpx.Client) -> None:
    """A name that merely leads here is refused: another site could have chosen it."""
    assert alone.get("/api/jobs").status_code == 200
    port = alone.base_url.port
    for host in (f"localhost:{port}", f"[::1]:{port}"):
        assert alone.get("/api/jobs", headers={"Host": host}).status_code == 200
    for host in ("elsewhere.example", f"127.0.0.1.elsewhere.example:{port}", "0.0.0.0", ""):
        response = alone.get("/api/jobs", headers={"Host": host})
        assert (response.status_code, response.json()["error"]["code"]) == (403, "wrong_host")


@pytest.mark.parametrize("role", ROLES)
def test_each_role_records_its_own_work(crew: Any, tell: Call, role: str) -> None:
    """Every kind of fact from every role: kept, or refused with the reason."""
    facts = [
        crew.fact(role, number, kind, **({"accepted": False} if kind == "decision" else {}))
        for number, kind in enumerate(KINDS, start=1)
        if kind != "correction"
    ]
    receipts = tell(crew.client(role), *facts)["receipts"]
    kept = {
        fact["kind"]
        for fact, receipt in zip(facts, receipts, strict=True)
        if receipt["status"] == "kept"
    }
    assert kept == KINDS_OF[role] - {"correction"}
    refused = [receipt for receipt in receipts if receipt["status"] == "refused"]
    assert {(receipt["code"], receipt["field"]) for receipt in refused} == {("fact_role", "kind")}
    assert all(receipt["message"] for receipt in refused)
    assert MAY_RECORD[role] == KINDS_OF[role]


@pytest.mark.parametrize(
    ("role", "is_kept"),
    [("foreman", True), ("quality", True), ("welder", False)],
)
def test_a_set_point_is_accepted_by_those_who_answer_for_it(
    crew: Any, tell: Call, role: str, is_kept: bool
) -> None:
    """A welder may propose one, not accept it."""
    (receipt,) = tell(crew.client(role), crew.fact(role, 1, "decision", accepted=True))["receipts"]
    assert receipt["status"] == ("kept" if is_kept else "refused")
    assert receipt["field"] == ("" if is_kept else "accepted")


def correction(crew: Any, role: str, number: int, of: str, **body: Any) -> dict[str, Any]:
    """A correction by a role."""
    body = {"field": "withdrawn", "new": True, "reason": "mistyped"} | body
    made: dict[str, Any] = crew.fact(role, number, "correction", of=of, **body)
    return made


@pytest.mark.parametrize(
    ("role", "author", "kind", "changes", "is_kept"),
    [
        ("foreman", "prober", "probe", {}, True),
        ("quality", "foreman", "sign_off", {}, True),
        ("welder", "welder", "run", {}, True),
        ("welder", "prober", "probe", {}, True),
        ("welder", "foreman", "rules", {}, False),
        ("welder", "foreman", "sign_off", {}, False),
        ("welder", "foreman", "person", {}, False),
        ("welder", "foreman", "decision", {"field": "air"}, False),
        ("welder", "welder", "decision", {"field": "accepted"}, False),
        ("welder", "welder", "decision", {"field": "air"}, True),
        ("prober", "prober", "probe", {}, True),
        ("prober", "foreman", "probe", {}, False),
        ("prober", "welder", "run", {}, False),
        ("inspector", "inspector", "defect", {}, False),
    ],
)
def test_a_correction_reaches_no_further_than_its_author(
    crew: Any, tell: Call, role: str, author: str, kind: str, changes: Any, is_kept: bool
) -> None:
    """Nobody takes back or changes by correction what he could not have recorded."""
    accepted = {"accepted": author == "foreman"} if kind == "decision" else {}
    first = crew.fact(author, 1, kind, **accepted)
    tell(crew.client(author), first)
    later = correction(crew, role, 2, first["id"], **changes)
    (receipt,) = tell(crew.client(role), later)["receipts"]
    assert receipt["status"] == ("kept" if is_kept else "refused"), receipt
    assert receipt["code"] == ("" if is_kept else "fact_role")


def test_a_correction_waits_for_what_it_corrects(crew: Any, tell: Call) -> None:
    """Of a restricted role: refused while the fact is unknown, kept once both are there."""
    first = crew.fact("welder", 1, "run")
    later = correction(crew, "welder", 2, first["id"])
    welder = crew.client("welder")
    (early,) = tell(welder, later)["receipts"]
    assert (early["status"], early["code"]) == ("refused", "correction_early")
    assert [one["status"] for one in tell(welder, first, later)["receipts"]] == ["kept", "kept"]


def test_nobody_signs_for_another(crew: Any, tell: Call) -> None:
    """Account and device of a fact are those of the session, whatever the role."""
    own = crew.fact("foreman", 1)
    forged = [
        own | {"entered_by": crew.account("welder")},
        own | {"device": crew.phones["welder"]},
        own | {"device": "somewhere"},
        own | {"entered_by": ""},
    ]
    receipts = tell(crew.client("foreman"), *forged, own)["receipts"]
    assert [receipt["code"] for receipt in receipts] == ["fact_author"] * 4 + [""]
    assert [receipt["field"] for receipt in receipts[:4]] == [
        "entered_by", "device", "device", "entered_by",
    ]  # fmt: skip


def test_the_chain_of_access_is_the_servers_alone(crew: Any, seen: Call) -> None:
    """Nobody writes into it; the foreman and the quality lead read it."""
    fact = crew.fact("foreman", 1, "t_joint", job=CREW_CHAIN)
    response = crew.client("foreman").post(f"/api/jobs/{CREW_CHAIN}/facts", json={"facts": [fact]})
    assert (response.status_code, response.json()["error"]["code"]) == (403, "not_for_role")
    for role in ROLES:
        answer = seen(crew.client(role), job=CREW_CHAIN)
        assert ("entries" in answer) == (role in ("foreman", "quality"))
    assert crew.client("foreman").get("/api/jobs").json() == {"jobs": []}


def test_an_address_without_a_row_is_open_to_nobody(crew: Any, monkeypatch: Any) -> None:
    """Forgetting the row shuts the address instead of opening it."""
    monkeypatch.delitem(MAY_CALL, "GET /api/jobs")  # type: ignore[arg-type]
    assert crew.client("foreman").get("/api/jobs").status_code == 403
    assert crew.client().get("/api/jobs").status_code == 401
