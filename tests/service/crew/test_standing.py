"""What the record says now, through the API: the same as the core says of the same facts."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

import httpx
import pytest

from lapwright.job.morning import find_window
from lapwright.record.chain import Entry, verify
from lapwright.record.fact import read_fact
from lapwright.report.figures import Reader, answer_figures
from lapwright.units import to_si
from lapwright.window.answer import Question
from lapwright.window.strips import Strip, TestWeld

Call = Callable[..., Any]
pytestmark = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)
JOB = "01976d00-0000-7000-8000-00000000000a"
DAY = "2026-05-04"
LATER = {"at": f"{DAY}T09:00:00-06:00"}


def at(clock: str) -> str:
    """A moment of the invented day."""
    return f"{DAY}T{clock}:00-06:00"


def measure(typed: str, unit: str) -> dict[str, str]:
    """A reading."""
    return {"typed": typed, "unit": unit, "how": "measured"}


@pytest.fixture
def morning(raw: Call) -> list[dict[str, Any]]:
    """Three test welds of one machine and one run, all invented."""
    job = raw(1, "job", name="Invented roof")
    machine, person = raw(2, "machine", number="3"), raw(3, "person", name="Tom")
    who = {"machine": machine["id"], "operator": person["id"]}
    conditions = raw(4, "conditions", ambient=measure("80", "f"), sheet=measure("80", "f"))
    facts = [job, machine, person, conditions | {"at": at("07:00")}]
    for place, (air, pull) in enumerate([("700", "cold"), ("850", "full"), ("1000", "full")]):
        weld = raw(10 * place + 10, "test_weld", number=str(place + 1), **who,
                   conditions=conditions["id"], air=measure(air, "f"),
                   speed=measure("10", "ft_min"))  # fmt: skip
        facts.append(weld | {"at": at(f"07:{10 + place}")})
        facts += [
            raw(10 * place + 11 + each, "strip", of=weld["id"], number=str(each), pull=pull)
            | {"at": at(f"07:3{place}")}
            for each in range(3)
        ]
    run = raw(50, "run", seam="A-S001", station=measure("0", "ft"), **who) | {"at": at("08:00")}
    end = raw(51, "run_end", run=run["id"], station=measure("100", "ft"), reason="seam_end")
    return [*facts, run, end | {"at": at("08:10")}]


def get(client: httpx.Client, name: str, **query: str) -> Any:
    """An answer about the job."""
    response = client.get(f"/api/jobs/{JOB}/{name}", params=LATER | query)
    assert response.status_code == 200, response.text
    return response.json()


def test_the_window_is_the_cores_own(alone: httpx.Client, tell: Call, morning: Any) -> None:
    """The strips of the record, asked directly, give the same figures in both unit systems."""
    tell(alone, *morning)
    welds = tuple(
        TestWeld(
            str(place + 1), to_si(air, "f"), to_si(10, "ft_min"), to_si(80, "f"), to_si(80, "f"),
            tuple(Strip(str(each), pull, None) for each in range(3)),
        )
        for place, (air, pull) in enumerate([(700, "cold"), (850, "full"), (1000, "full")])
    )  # fmt: skip
    question = Question(welds=welds, ambient=to_si(80, "f"), sheet=to_si(80, "f"))
    for reader in (Reader("en", "us"), Reader("es", "metric")):
        wanted = answer_figures(find_window(question), reader)
        found = get(alone, "window", lang=reader.language, units=reader.units)
        for name in ("bottom", "top", "set_point", "next", "says", "verdict", "p_window"):
            assert found[name] == wanted[name], name
    assert found["chain"]["machine"] == morning[1]["id"]
    assert sorted(found["test_welds"]) == ["1", "2", "3"]
    assert len(found["welds"]) == 3
    assert found["question"]["welds"][0]["strips"][0]["pull"] == "cold"


def test_a_chain_is_asked_for_by_its_facts(
    alone: httpx.Client, tell: Call, raw: Call, morning: Any
) -> None:
    """Another operator of the machine has no test weld yet: its question holds none."""
    other = raw(90, "person", name="Ines")
    tell(alone, *morning, other)
    chain = {"machine": morning[1]["id"], "operator": other["id"]}
    found = get(alone, "window", **chain)
    assert (found["verdict"], found["test_welds"]) == ("no_test_weld", {})
    same = get(alone, "window", machine=morning[1]["id"], operator=morning[2]["id"])
    assert len(same["test_welds"]) == 3


def test_the_table_answers_the_same_question(alone: httpx.Client, tell: Call, morning: Any) -> None:
    """A phone takes along particles of this model for this chain."""
    tell(alone, *morning)
    table, window = get(alone, "table"), get(alone, "window")
    assert (table["model"], table["version"]) == (window["model"], window["version"])
    assert table["chain"] == window["chain"]
    assert table["test_welds"] == window["test_welds"]
    assert len(table["particles"]["weight"]) == len(table["particles"]["bottom"]) > 1000


def test_the_day_and_the_trace_know_the_run(alone: httpx.Client, tell: Call, morning: Any) -> None:
    """A hundred feet without a decision behind them, unprobed, in both units."""
    tell(alone, *morning)
    us, metric = get(alone, "today"), get(alone, "today", units="metric", lang="es")
    assert (us["welded_ft"], us["orphan_ft"], us["unprobed_ft"]) == (100.0, 100.0, 100.0)
    assert metric["welded_m"] == 30.5
    assert us["chains"][0]["chain"]["machine"] == morning[1]["id"]
    (seam,) = get(alone, "trace", seam="A-S001")["seams"]
    assert [one["start_ft"] for one in seam["stretches"]] == [0.0]
    (nothing,) = get(alone, "trace", seam="A-S009")["seams"]
    assert nothing["stretches"] == []
    assert get(alone, "today", day="2026-05-03")["runs"] == []


def test_a_new_fact_counts_at_once(alone: httpx.Client, tell: Call, morning: Any) -> None:
    """What is kept in memory between two questions never hides what has come since."""
    tell(alone, *morning[:-2])
    assert get(alone, "today")["welded_ft"] == 0.0
    tell(alone, *morning[-2:])
    assert get(alone, "today")["welded_ft"] == 100.0


@pytest.mark.parametrize(
    ("count", "name", "code"),
    [(1, "window", "no_chain"), (3, "window", "no_chain"), (3, "table", "no_chain")],
)
def test_what_is_not_known_yet_is_said(
    alone: httpx.Client, tell: Call, morning: Any, count: int, name: str, code: str
) -> None:
    """Without a machine at work there is no question to answer."""
    tell(alone, *morning[:count])
    response = alone.get(f"/api/jobs/{JOB}/{name}", params=LATER)
    assert (response.status_code, response.json()["error"]["code"]) == (422, code)


def test_a_window_needs_conditions(alone: httpx.Client, tell: Call, morning: Any) -> None:
    """Machine and operator alone do not say how warm it is."""
    tell(alone, *morning[:3])
    chain = {"machine": morning[1]["id"], "operator": morning[2]["id"]}
    response = alone.get(f"/api/jobs/{JOB}/window", params=LATER | chain)
    assert (response.status_code, response.json()["error"]["code"]) == (422, "no_conditions")


@pytest.mark.parametrize(
    "query",
    [{"at": "2026-05-04T07:00:00"}, {"at": "0001-01-01T00:00:00Z"}, {"units": "imperial"},
     {"lang": "de"}, {"machine": "3"}],
    ids=str,
)  # fmt: skip
def test_a_question_out_of_bounds_is_named(
    alone: httpx.Client, tell: Call, morning: Any, query: Any
) -> None:
    """A moment without its offset, a unit or language we do not speak, no id."""
    tell(alone, *morning)
    response = alone.get(f"/api/jobs/{JOB}/window", params=LATER | query)
    assert response.status_code == 422
    assert response.json()["error"]["field"] == next(iter(query))


def test_the_archive_holds_the_job_whole(alone: httpx.Client, tell: Call, morning: Any) -> None:
    """Anybody can read it without us: the facts as sent, in a chain that verifies."""
    head = tell(alone, *morning)["head"]
    response = alone.get(f"/api/jobs/{JOB}/archive")
    assert response.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(response.content)) as archive:
        assert archive.testzip() is None
        (name,) = [name for name in archive.namelist() if name.endswith(".jsonl")]
        lines = archive.read(name).decode().splitlines()
    entries = [Entry(**{**one, "fact": read_fact(one["fact"])}) for one in map(json.loads, lines)]
    assert [entry.fact.plain() for entry in entries] == morning
    assert verify(entries) == head["hash"]


def stricter(raw: Call, clock: str, **changes: Any) -> dict[str, Any]:
    """Rules of the job: a test weld every hour instead of every four."""
    clause = {"rule": "time_since_pass", "value": 1, "unit": "h", "layer": "specification",
              "clause": "3.5.C", "edition": "2026-03", "set_by": "QL"}  # fmt: skip
    fact: dict[str, Any] = raw(95, "rules", edition="2026-03", clauses=[clause | changes])
    return fact | {"at": at(clock)}


def test_the_banner_goes_by_the_rules_in_force(
    alone: httpx.Client, tell: Call, raw: Call, morning: Any
) -> None:
    """A stricter rule asks for a test from its moment on, and its clause is cited."""
    tell(alone, *morning)

    def due(**query: str) -> dict[str, Any]:
        (chain,) = get(alone, "today", **query)["chains"]
        return {each["code"]: each for each in chain["due"]}

    assert "time_since_pass" not in due()
    tell(alone, stricter(raw, "08:50"))
    assert due()["time_since_pass"]["clause"] == "3.5.C"
    assert due()["time_since_pass"]["layer"] == "specification"
    assert "time_since_pass" not in due(at=at("08:45"))


def test_a_rule_that_cannot_be_read_is_said_wherever_it_would_judge(
    alone: httpx.Client, tell: Call, raw: Call, morning: Any
) -> None:
    """The day, the trace, the doubts and the window all name the clause that does not count."""
    tell(alone, *morning, stricter(raw, "08:50", unit="fortnights"))
    for name in ("today", "trace", "suspects", "symptoms", "window"):
        said = {each["code"]: each["says"] for each in get(alone, name)["cautions"]}
        assert "fortnights" in said["rule_unread"], name


@pytest.mark.parametrize("clauses", [{}, 5, "text", [[]], [{"rule": {}}]])
def test_no_shape_of_rules_stops_the_crew(
    alone: httpx.Client, tell: Call, raw: Call, morning: Any, clauses: Any
) -> None:
    """Whatever JSON the fact holds, the day is answered."""
    fact = raw(95, "rules", edition="1", clauses=clauses) | {"at": at("08:50")}
    tell(alone, *morning, fact)
    assert get(alone, "today")["welded_ft"] == 100.0
