"""Facts in, receipts out: kept once, refused one by one, read back as they were sent."""

from __future__ import annotations

import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import httpx
import pytest

from lapwright.record.chain import Entry, verify
from lapwright.record.fact import read_fact
from lapwright.record.ids import CREW_CHAIN

Call = Callable[..., Any]
JOB = "01976d00-0000-7000-8000-00000000000a"
PATH = f"/api/jobs/{JOB}/facts"
# What is decided before the store is asked needs no second database.
sqlite_only = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)


def entries_of(answer: Any) -> list[Entry]:
    """Entries as a reader elsewhere would build them."""
    return [Entry(**{**one, "fact": read_fact(one["fact"])}) for one in answer["entries"]]


def test_facts_come_back_as_they_were_sent(
    alone: httpx.Client, raw: Call, tell: Call, seen: Call
) -> None:
    """To the letter, in their order, in a chain that verifies up to the head."""
    facts = [raw(1, "job", name="Techo inventado, nave ñ"), raw(2), raw(3, "probe")]
    answer = tell(alone, *facts)
    assert [(one["id"], one["status"], one["seq"]) for one in answer["receipts"]] == [
        (fact["id"], "kept", place) for place, fact in enumerate(facts, start=1)
    ]
    read = seen(alone)
    assert [one["fact"] for one in read["entries"]] == facts
    assert verify(entries_of(read)) == read["head"]["hash"] == answer["head"]["hash"]
    (job,) = alone.get("/api/jobs").json()["jobs"]
    assert job == {"job": JOB, "name": "Techo inventado, nave ñ", **answer["head"]}


def test_sending_again_is_harmless(alone: httpx.Client, raw: Call, tell: Call, seen: Call) -> None:
    """A repeat is "had" with its old place, within a batch and across batches."""
    tell(alone, raw(1), raw(2))
    again = tell(alone, raw(2), raw(3), raw(3), raw(1))
    assert [(one["status"], one["seq"]) for one in again["receipts"]] == [
        ("had", 2), ("kept", 3), ("had", 3), ("had", 1),
    ]  # fmt: skip
    assert len(seen(alone)["entries"]) == again["head"]["seq"] == 3


def test_a_changed_fact_is_refused_and_the_first_stays(
    alone: httpx.Client, raw: Call, tell: Call, seen: Call
) -> None:
    """Nothing that was kept can be replaced."""
    tell(alone, raw(1))
    (receipt,) = tell(alone, raw(1) | {"note": "another"})["receipts"]
    assert (receipt["status"], receipt["code"]) == ("refused", "fact_differs")
    assert [one["fact"] for one in seen(alone)["entries"]] == [raw(1)]


@sqlite_only
@pytest.mark.parametrize(
    ("bad", "code", "field"),
    [
        (7, "fact_misshapen", "fact"),
        ({}, "fact_unknown_kind", ""),
        ({"kind": "essay"}, "fact_unknown_kind", ""),
        ({"colour": "red"}, "fact_unknown_field", "colour"),
        ({"id": "1"}, "fact_value", "id"),
        ({"at": "yesterday"}, "fact_value", "at"),
        ({"job": JOB[:-1] + "b"}, "fact_other_job", "job"),
        ({"entered_by": "somebody"}, "fact_author", "entered_by"),
        ({"kind": "access", "body": {"what": "joined", "account": "me"}}, "fact_role", "kind"),
        ({"body": {"number": "\ud800"}}, "fact_value", "number"),
        ({"kind": "rules", "body": {"edition": "1", "clauses": {"a": "\ud800"}}},
         "fact_value", "clauses"),
        ({"kind": "rules", "body": {"edition": "1", "clauses": [[[[[[[[[[[[[1]]]]]]]]]]]]]}},
         "fact_value", "clauses"),
        ({"kind": "rules", "body": {"edition": "1", "clauses": float("inf")}},
         "fact_value", "clauses"),
    ],
    ids=str,
)  # fmt: skip
def test_one_bad_fact_spoils_no_batch(
    alone: httpx.Client, raw: Call, seen: Call, bad: Any, code: str, field: str
) -> None:
    """It is refused with its reason in both languages; the facts beside it are kept."""
    wrong = raw(2) | bad if isinstance(bad, dict) and bad else bad
    batch = json.dumps({"facts": [raw(1), wrong, raw(3)]})
    headers = {"Content-Type": "application/json"}
    answers = [
        alone.post(PATH, content=batch, headers=headers, params={"lang": lang})
        for lang in ("en", "es")
    ]
    assert [answer.status_code for answer in answers] == [200, 200]
    first, again = (answer.json()["receipts"] for answer in answers)
    assert [one["status"] for one in first] == ["kept", "refused", "kept"]
    assert [one["status"] for one in again] == ["had", "refused", "had"]
    assert (first[1]["code"], first[1]["field"], first[1]["seq"]) == (code, field, None)
    assert first[1]["message"] != again[1]["message"]
    assert "?" not in first[1]["message"] + again[1]["message"]
    assert len(seen(alone)["entries"]) == 2


@sqlite_only
@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b"{}", b'{"facts": 1}', b'{"facts": [], "more": 1}', b"\xff", b"[" * 100_000],
)
def test_a_batch_of_no_shape_is_refused_whole(alone: httpx.Client, body: bytes) -> None:
    """There is no fact in it to answer for."""
    response = alone.post(PATH, content=body, headers={"Content-Type": "application/json"})
    assert response.status_code in (400, 422)
    assert response.json()["error"]["code"] == "bad_request"


def test_the_chain_is_read_in_pages(alone: httpx.Client, raw: Call, tell: Call, seen: Call) -> None:
    """After a place, at most so many, with the head of the whole."""
    tell(alone, *(raw(number) for number in range(1, 8)))
    places = [
        [one["seq"] for one in seen(alone, after=after, limit=3)["entries"]]
        for after in (0, 3, 6, 7, 99)
    ]
    assert places == [[1, 2, 3], [4, 5, 6], [7], [], []]
    assert seen(alone, after=99)["head"]["seq"] == 7


@sqlite_only
@pytest.mark.parametrize(
    "query",
    [{"after": -1}, {"after": 2**64}, {"limit": 0}, {"limit": 1001}, {"wait": 26}, {"wait": "x"}],
)
def test_a_question_out_of_bounds_is_refused(alone: httpx.Client, query: Any) -> None:
    """With the name of what is out of bounds."""
    response = alone.get(PATH, params=query)
    assert response.status_code == 422
    assert response.json()["error"]["field"] == next(iter(query))


@sqlite_only
def test_a_job_nobody_knows_is_empty(alone: httpx.Client, seen: Call) -> None:
    """A phone may ask before the first fact has come; other addresses say it is not there."""
    assert seen(alone) == {"entries": [], "head": {"seq": 0, "hash": "0" * 64}}
    for name in ("today", "window", "table", "trace", "archive"):
        for job in (JOB, CREW_CHAIN):
            assert alone.get(f"/api/jobs/{job}/{name}").status_code == 404


def test_phones_that_send_at_once_make_one_chain(crew: Any, tell: Call, seen: Call) -> None:
    """Interleaved as they come, none lost, none doubled, and the chain verifies."""
    roles = ("foreman", "welder", "quality")

    def sends(role: str) -> None:
        client, base = crew.client(role), 1000 * roles.index(role)
        for start in range(base, base + 40, 4):
            facts = [crew.fact(role, number) for number in range(start + 1, start + 6)]
            tell(client, *facts)  # each batch overlaps the next by one

    with ThreadPoolExecutor(len(roles)) as pool:
        list(pool.map(sends, roles))
    read = seen(crew.client("inspector"))
    wanted = {crew.fact(role, 1000 * place + n)["id"]
              for place, role in enumerate(roles) for n in range(1, 42)}  # fmt: skip
    found = [one["fact"]["id"] for one in read["entries"]]
    assert len(found) == len(set(found))
    assert set(found) == wanted
    assert verify(entries_of(read)) == read["head"]["hash"]


@sqlite_only
def test_a_phone_that_joined_again_sends_what_it_still_holds(crew: Any, tell: Call) -> None:
    """Facts of an earlier device of the same account are taken; nothing is stranded."""
    foreman = crew.client("foreman")
    link = foreman.post("/api/invites", json={"name": "The welder", "role": "welder"}).json()[
        "link"
    ]
    phone = crew.client()
    me = phone.post("/api/join", json={"token": link.partition("#")[2]}).json()
    assert me["device"] != crew.phones["welder"]
    phone.headers["X-CSRF"] = me["csrf"]
    held = crew.fact("welder", 1)
    (receipt,) = tell(phone, held)["receipts"]
    assert receipt["status"] == "kept"


@sqlite_only
def test_kinds_are_told_with_their_fields(alone: httpx.Client) -> None:
    """A form can be made from it: what a field holds, what it may be, who records it."""
    kinds = {one["kind"]: one for one in alone.get("/api/kinds").json()["kinds"]}
    fields = {one["name"]: one for one in kinds["probe"]["fields"]}
    assert fields["result"] == {
        "name": "result", "type": "word", "need": "must", "among": ["none", "defects"],
    }  # fmt: skip
    assert fields["start"]["among"] == ["ft", "m"]
    assert kinds["probe"]["roles"] == ["foreman", "welder", "prober", "quality"]
    assert kinds["access"]["roles"] == []
