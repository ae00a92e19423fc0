"""Coming in and going out: passwords, links, phones, and what is told of each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from lapwright.record.ids import CREW_CHAIN
from lapwright.store.people import Invite
from lapwright.web.access import LOCAL
from lapwright.web.accounts import add_account, set_password, shut_out
from lapwright.web.door import Door, hashed
from lapwright.web.morning import morning_app
from lapwright.web.tries import PER_ACCOUNT, PER_ADDRESS

Call = Callable[..., Any]
JOB = "01976d00-0000-7000-8000-00000000000a"
PASSWORD = "four words, all invented"
pytestmark = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)


def link_for(crew: Any, name: str = "Luz", role: str = "prober") -> Any:
    """The answer to an invite by the foreman."""
    response = crew.client("foreman").post("/api/invites", json={"name": name, "role": role})
    assert response.status_code == 201
    return response.json()


def follow(client: Any, link: str, phone: str = "Luz's phone") -> Any:
    """Open a link as a phone does."""
    return client.post("/api/join", json={"token": link.partition("#")[2], "phone": phone})


def told(crew: Any, seen: Call) -> list[dict[str, Any]]:
    """What the crew's own chain tells, oldest first."""
    entries = seen(crew.client("quality"), job=CREW_CHAIN)["entries"]
    return [one["fact"]["body"] for one in entries]


def test_a_phone_joins_by_its_link(crew: Any, tell: Call) -> None:
    """The link leads to the page, its token lets one phone in, and what it records is its own."""
    invited = link_for(crew)
    assert invited["link"].startswith(f"{crew.address}/join#")
    assert invited["qr"].startswith("<svg")
    lasts = datetime.fromisoformat(invited["expires"]) - datetime.now(UTC)
    assert timedelta(minutes=5) < lasts <= timedelta(minutes=15)
    phone = crew.client()
    page = phone.get("/join")
    assert (page.status_code, page.headers["location"]) == (303, "/field/?join")
    me = follow(phone, invited["link"]).json()
    assert (me["name"], me["role"], me["login"]) == ("Luz", "prober", True)
    assert phone.get("/api/me").json() == me
    phone.headers["X-CSRF"] = me["csrf"]
    fact = crew.fact("prober", 1, "probe")
    own = fact | {"entered_by": me["account"], "device": me["device"]}
    assert [one["status"] for one in tell(phone, fact, own)["receipts"]] == ["refused", "kept"]


def test_a_link_lets_in_once(crew: Any) -> None:
    """A second phone with the same link stays out, and so does one that guesses."""
    link = link_for(crew)["link"]
    assert follow(crew.client(), link).status_code == 200
    for late in (link, link + "x", "#"):
        response = follow(crew.client(), late)
        assert (response.status_code, response.json()["error"]["code"]) == (403, "invite_spent")


def test_a_link_runs_out(crew: Any) -> None:
    """After its time it is as good as used."""
    account, now = crew.account("welder"), datetime.now(UTC)
    for token, seconds in (("old", -1), ("new", 60)):
        ends = now + timedelta(seconds=seconds)
        crew.store.people.add_invite(Invite(hashed(token), "welder", account, ends))
    assert follow(crew.client(), "#old").status_code == 403
    assert follow(crew.client(), "#new").status_code == 200


def test_a_known_name_keeps_its_account_and_role(crew: Any) -> None:
    """A second phone of one person is that person; a link gives nobody another role."""
    first = follow(crew.client(), link_for(crew)["link"]).json()
    second = follow(crew.client(), link_for(crew)["link"]).json()
    assert first["account"] == second["account"]
    assert first["device"] != second["device"]
    other = crew.client("foreman").post("/api/invites", json={"name": "Luz", "role": "foreman"})
    assert (other.status_code, other.json()["error"]["code"]) == (409, "account_role")


def test_the_cookie_is_out_of_reach(crew: Any) -> None:
    """Scripts cannot read it, other sites cannot send it; over TLS it never travels in clear."""
    for is_secure in (False, True):
        crew.app.state.door = Door(login=True, secure=is_secure)
        cookie = follow(crew.client(), link_for_secure(crew))
        kept = cookie.headers["set-cookie"]
        assert "HttpOnly" in kept
        assert "SameSite=strict" in kept
        assert "Path=/" in kept
        assert ("Secure" in kept) == is_secure
        assert kept.startswith("__Host-") == is_secure
        assert cookie.json()["csrf"] not in kept


def link_for_secure(crew: Any) -> str:
    """A link made in the store, whatever the door."""
    ends = datetime.now(UTC) + timedelta(minutes=1)
    token = f"token-{crew.app.state.door.secure}"
    crew.store.people.add_invite(Invite(hashed(token), "welder", crew.account("welder"), ends))
    return f"#{token}"


def test_a_password_lets_in(crew: Any) -> None:
    """The right one; its hash is what is kept, and it is argon2's."""
    made = add_account(crew.store, LOCAL, "Rosa", role="foreman", password=PASSWORD)
    assert made.hash.startswith("$argon2id$")
    client = crew.client()
    for wrong in ("", PASSWORD.upper(), PASSWORD + " "):
        refused = client.post("/api/sign-in", json={"account": "Rosa", "password": wrong})
        assert (refused.status_code, refused.json()["error"]["code"]) == (401, "sign_in_wrong")
    me = client.post("/api/sign-in", json={"account": " Rosa ", "password": PASSWORD}).json()
    assert (me["account"], me["role"]) == (made.id, "foreman")
    assert client.get("/api/me").json() == me


def test_who_comes_by_link_only_has_no_password(crew: Any) -> None:
    """An empty password opens no account without one, and the two refusals read alike."""
    answers = [
        crew.client().post("/api/sign-in", json={"account": name, "password": ""})
        for name in ("The welder", "nobody at all")
    ]
    assert [answer.status_code for answer in answers] == [401, 401]
    assert answers[0].json() == answers[1].json()


def test_signing_out_ends_the_session(crew: Any) -> None:
    """The cookie is worth nothing any more, also to somebody who copied it."""
    welder, copied = crew.client("welder"), crew.client("welder")
    answer = welder.post("/api/sign-out")
    assert answer.json()["account"] is None
    assert copied.get("/api/jobs").status_code == 401


def test_a_lost_phone_is_shut_out_at_once(crew: Any, tell: Call, seen: Call) -> None:
    """What it recorded stays; it gets and gives nothing more. Revoking twice is harmless."""
    phone, foreman = crew.client("welder"), crew.client("foreman")
    tell(phone, crew.fact("welder", 1))
    for _ in range(2):
        answer = foreman.post(f"/api/phones/{crew.phones['welder']}/revoke")
        lost = next(one for one in answer.json()["phones"] if one["account_name"] == "The welder")
        assert lost["revoked"]
    assert phone.get(f"/api/jobs/{JOB}/facts").status_code == 401
    assert phone.post(f"/api/jobs/{JOB}/facts", json={"facts": []}).status_code == 401
    assert len(seen(foreman)["entries"]) == 1
    assert sum(one["what"] == "revoked" for one in told(crew, seen)) == 1


def test_a_new_password_and_a_revoked_account_end_sessions(crew: Any) -> None:
    """Whoever was in with the old one is out."""
    people = crew.store.people
    for role, act in (("quality", set_password), ("prober", shut_out)):
        account = people.account(crew.account(role))
        extra = (PASSWORD,) if act is set_password else ()
        act(crew.store, LOCAL, account, *extra)
        assert crew.client(role).get("/api/jobs").status_code == 401
    assert people.account(crew.account("prober")).hash == ""


def test_a_session_runs_out_unless_it_is_used(crew: Any) -> None:
    """One that was not used for two weeks is over; one in use goes on."""
    people, now = crew.store.people, datetime.now(UTC)
    people.prolong(hashed("welder"), expires=now - timedelta(seconds=1))
    assert crew.client("welder").get("/api/jobs").status_code == 401
    people.prolong(hashed("prober"), expires=now + timedelta(minutes=1))
    assert crew.client("prober").get("/api/jobs").status_code == 200
    found = people.signed_in(hashed("prober"), now=now + timedelta(days=13))
    assert found is not None
    assert people.signed_in(hashed("prober"), now=now + timedelta(days=15)) is None


def test_what_happens_at_the_door_is_told(crew: Any, seen: Call) -> None:
    """Every invite, joining, refusal and leaving is a fact of its own, by whoever did it."""
    client = crew.client()
    client.post("/api/sign-in", json={"account": "Luz", "password": "a password by mistake"})
    me = follow(client, link_for(crew)["link"]).json()
    client.post("/api/sign-out", headers={"X-CSRF": me["csrf"]})
    facts = [one["fact"] for one in seen(crew.client("foreman"), job=CREW_CHAIN)["entries"]]
    assert [one["body"]["what"] for one in facts] == [
        "sign_in_refused", "account_made", "invited", "joined", "signed_out",
    ]  # fmt: skip
    authors = [one["entered_by"] for one in facts]
    assert authors == ["", *[crew.account("foreman")] * 2, *[me["account"]] * 2]
    assert facts[0]["body"] == {
        "what": "sign_in_refused", "account": "unknown", "address": "127.0.0.1",
    }  # fmt: skip
    assert facts[3]["body"]["phone"] == me["device"]


def test_accounts_are_listed_without_what_opens_them(crew: Any) -> None:
    """Names, roles, whether there is a password: no hash leaves the server."""
    foreman = crew.client("foreman")
    made = foreman.post(
        "/api/accounts", json={"name": "Sam", "role": "quality", "password": PASSWORD}
    )
    assert made.status_code == 201
    listed = foreman.get("/api/accounts")
    assert "argon2" not in listed.text
    assert listed.json()["accounts"][-1] == made.json()
    for name, password, code in (
        ("Sam", PASSWORD, "account_taken"),
        ("Tom", "short", "password_short"),
        (" ", PASSWORD, "account_name"),
    ):
        refused = foreman.post(
            "/api/accounts", json={"name": name, "role": "welder", "password": password}
        )
        assert refused.json()["error"]["code"] == code


def tries(client: Any, name: str, count: int) -> list[int]:
    """Status of so many wrong tries."""
    ask = {"account": name, "password": "wrong"}
    return [client.post("/api/sign-in", json=ask).status_code for _ in range(count)]


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Passwords that are told apart quickly; how slowly is no rule of these tests."""
    monkeypatch.setattr("lapwright.web.sessions.is_password", lambda *_: False)


@pytest.mark.usefixtures("quick")
def test_guessing_ends_after_a_few_tries(crew: Any, seen: Call) -> None:
    """Of one account; the right password is not even looked at then, other accounts still may."""
    client = crew.client()
    assert tries(client, "The welder", PER_ACCOUNT + 2) == [401] * PER_ACCOUNT + [429] * 2
    assert tries(client, "The prober", 1) == [401]
    late = client.post("/api/sign-in", json={"account": "The welder", "password": "wrong"})
    assert late.json()["error"]["code"] == "too_many_tries"
    assert int(late.headers["retry-after"]) > 0
    refused = [one for one in told(crew, seen) if one["what"] == "sign_in_refused"]
    assert len(refused) == PER_ACCOUNT + 1  # what was not looked at leaves no fact


@pytest.mark.usefixtures("quick")
def test_one_address_tries_no_more_names_than_that(crew: Any) -> None:
    """Neither passwords nor links; a session that is open goes on."""
    client = crew.client()
    answers = [tries(client, f"name {number}", 1)[0] for number in range(PER_ADDRESS + 1)]
    assert answers == [401] * PER_ADDRESS + [429]
    assert follow(client, link_for(crew)["link"]).status_code == 429
    assert crew.client("welder").get("/api/jobs").status_code == 200


@pytest.mark.usefixtures("quick")
def test_another_worker_counts_the_same_tries(crew: Any, opened: Call, place: str) -> None:
    """The count is in the store: a second process of the service goes on from it."""
    tries(crew.client(), "The welder", PER_ACCOUNT)
    other = morning_app(opened(place), door=Door(login=True))
    with crew.served(other) as address:
        client = crew.client()
        client.base_url = address
        assert tries(client, "The welder", 1) == [429]


@pytest.mark.usefixtures("quick")
def test_tries_are_forgotten_after_a_while(crew: Any, monkeypatch: Any) -> None:
    """Somebody who mistyped ten times comes in a quarter of an hour later."""
    client = crew.client()
    tries(client, "The welder", PER_ACCOUNT)
    assert tries(client, "The welder", 1) == [429]
    monkeypatch.setattr("lapwright.web.tries.WINDOW", timedelta(0))
    assert tries(client, "The welder", 1) == [401]


def test_without_login_there_is_nothing_to_sign_in_to(alone: Any) -> None:
    """The machine's own page is the foreman's; links and passwords are refused with the reason."""
    me = alone.get("/api/me").json()
    assert me == {
        "account": "local", "name": "local", "role": "foreman", "device": "local",
        "login": False, "csrf": "",
    }  # fmt: skip
    for path, ask in (
        ("sign-in", {"account": "local", "password": ""}),
        ("join", {"token": ""}),
        ("invites", {"name": "Luz", "role": "prober"}),
    ):
        response = alone.post(f"/api/{path}", json=ask)
        assert (response.status_code, response.json()["error"]["code"]) == (409, "login_off")
    assert alone.post("/api/sign-out").json() == me
