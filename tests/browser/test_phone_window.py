"""The phone's own answer: golden vectors in a real browser, and the server's answer beside it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page

from lapwright.job.morning import find_window
from lapwright.job.phone import LEAST_EFFECTIVE, sample_table
from lapwright.units import difference_to_si, to_si
from lapwright.web.app import STATIC
from lapwright.window.answer import Answer, Question
from lapwright.window.drift import Drift
from lapwright.window.strips import TestWeld

Build = Callable[..., TestWeld]
Run = Callable[[str, Any], Any]
Weigh = Callable[..., dict[str, Any]]
GOLDEN = json.loads(
    (Path(__file__).parents[1] / "golden" / "likelihood.json").read_text(encoding="utf-8")
)


@pytest.fixture
def run(open_page: Callable[..., Page]) -> Run:
    """Run a function of the phone's modules on a value."""
    page = open_page()

    def ran(body: str, value: Any) -> Any:
        return page.evaluate(f"async (value) => {{ {body} }}", value)

    return ran


@pytest.fixture
def phone(run: Run) -> Weigh:
    """The phone's answer to a question; ``known`` are the welds its table was drawn after."""

    def weighed(
        question: Question, *, known: Sequence[TestWeld] | None = None, particles: int = 4000
    ) -> dict[str, Any]:
        told = question if known is None else replace(question, welds=tuple(known))
        rng = np.random.default_rng(5)
        table = sample_table(told, rng=rng, particles=particles).as_json()
        body = "const { weigh } = await import('/field/weigh/window.js'); return weigh(...value);"
        answer: dict[str, Any] = run(body, [table, [asdict(weld) for weld in question.welds]])
        return answer

    return weighed


def alike(phone: dict[str, Any], server: Answer) -> None:
    """Same verdict; edges, set point and its chance as near as 4,000 particles allow."""
    assert phone["by"] == "phone"
    assert phone["verdict"] == server.verdict
    assert phone["confirmedBy"] == server.confirmed_by
    for edge in ("bottom", "top"):
        for end in ("low", "mid", "high"):
            mine, true = phone[edge][end], getattr(getattr(server, edge), end)
            assert (mine is None) == (true is None)
            if true is not None and end == "mid":
                assert mine == pytest.approx(true, abs=difference_to_si(12, "f"))
    assert phone["pWindow"] == pytest.approx(server.p_window, abs=0.05)
    point = phone["setPoint"]
    if point is not None:
        assert server.set_point is not None
        assert point["air"] == pytest.approx(server.set_point.air, abs=difference_to_si(21, "f"))
        assert point["speed"] == pytest.approx(server.set_point.speed, abs=to_si(1, "ft_min"))
        assert point["pSound"] == pytest.approx(server.set_point.p_sound, abs=0.04)
        assert point["pSoundDrift"] == pytest.approx(server.set_point.p_sound_drift, abs=0.04)


def test_likelihoods_of_the_golden_welds(run: Run) -> None:
    """Every weld of the golden file to 1e-9, in a real browser, finite however far out."""
    body = """const { counted, likelihoodOf } = await import('/field/weigh/likelihood.js');
    const [table, welds] = value;
    return welds.map((weld) => [...likelihoodOf(table, counted(table, weld)).log]);"""
    cases = GOLDEN["welds"]
    found = run(body, [GOLDEN["table"], [case["weld"] for case in cases.values()]])
    assert len(found) == len(cases) > 0
    for name, mine in zip(cases, found, strict=True):
        assert mine == pytest.approx(cases[name]["log_likelihood"], abs=1e-9), name


@pytest.mark.parametrize("name", GOLDEN["mornings"])
def test_weights_edges_and_soundness_of_the_golden_mornings(run: Run, name: str) -> None:
    """Weights to 1e-9, edges and P(sound) to 1e-6, where tested and where carried."""
    body = """const { counted, likelihoodOf } = await import('/field/weigh/likelihood.js');
    const soundness = await import('/field/weigh/soundness.js');
    const [table, { welds, places }] = value;
    const made = welds.map((weld) => counted(table, weld));
    const weight = soundness.weightsOf(table, made.map((weld) => likelihoodOf(table, weld)));
    const tables = soundness.limitTables(table, weight);
    const sound = soundness.soundnessOf(table, tables, made);
    return {
      weights: [...weight],
      effective: soundness.beliefOf(table, weight).effective,
      places: places.map(({ speed, sheet, airs }) => ({
        bottom: soundness.edgeOf(table, weight, "bottom", { speed, sheet }, true, true),
        top: soundness.edgeOf(table, weight, "top", { speed, sheet }, true, true),
        p_sound: airs.map((air) => sound({ air, speed, sheet })),
      })),
    };"""
    golden = GOLDEN["mornings"][name]
    found = run(body, [GOLDEN["table"], golden])
    assert found["weights"] == pytest.approx(golden["weights"], abs=1e-9)
    assert found["effective"] == pytest.approx(golden["effective"], rel=1e-9)
    for mine, place in zip(found["places"], golden["places"], strict=True):
        assert list(mine["bottom"].values()) == pytest.approx(place["bottom"], abs=1e-6)
        assert list(mine["top"].values()) == pytest.approx(place["top"], abs=1e-6)
        assert mine["p_sound"] == pytest.approx(place["p_sound"], abs=1e-6)


def test_the_phone_says_what_the_server_says(
    phone: Weigh, ladder_welds: tuple[TestWeld, ...]
) -> None:
    """After every weld of the ladder, by a table of the start of the day or a later one."""
    for count in range(1, 7):
        question = Question(ladder_welds[:count])
        for known in (0, count // 2, count):
            alike(phone(replace(question, ambient=300.0), known=ladder_welds[:known]),
                  find_window(replace(question, ambient=300.0)))  # fmt: skip


@pytest.mark.parametrize(
    "changes",
    [
        {"policy": "middle"},
        {"vary": "speed"},
        {"sheet": 295.0},
        {"speed": 0.06},
        {"drift": Drift(sheet_low=-4.0, sheet_high=6.0, wind_words=1, volts_ratio=0.95)},
        {"membrane": "pvc"},
        {"plan": "ladder"},
    ],
)
def test_whatever_the_day_asks(
    phone: Weigh, ladder_welds: tuple[TestWeld, ...], changes: dict[str, Any]
) -> None:
    """Policy, what varies, conditions, drift, family and plan reach the phone."""
    question = replace(Question(ladder_welds), **changes)
    server = find_window(question)
    found = phone(question, known=ladder_welds[:3])
    alike(found, server)
    assert found["next"]["reason"] == server.next.reason


def test_each_verdict_has_its_next_weld(
    phone: Weigh, weld: Build, ladder_welds: tuple[TestWeld, ...]
) -> None:
    """Verdict and reason of the next weld follow the server's, case by case."""
    cold, bottom, good = weld(1, 640, "ccc"), weld(2, 730, "pfp"), weld(3, 860, "fff")
    hot = weld(4, 1080, "fff", "signs")
    odd = weld(5, 1000, "ccc")
    mornings = {
        "no_test_weld": Question(ambient=300.0),
        "confirm": Question((cold, bottom, weld(3, 930, "fff"), weld(6, 790, "fff"), hot)),
        "repeat": Question((cold, bottom, good, odd)),
        "certified": Question(ladder_welds),
        "top_unknown": Question((weld(1, 640, "ccc", None), weld(2, 860, "fff", None))),
        "none_passed": Question((cold, weld(2, 700, "ccp"))),
        "no_bottom": Question((weld(1, 860, "fff"),)),
        "not_known_yet": Question((cold, weld(2, 980, "fff"))),
        "saturated": Question(
            (cold, weld(2, 760, "ccc"), weld(3, 840, "ccc"), weld(4, 850, "ccc")),
            max_air=to_si(860, "f"),
        ),
        "no_window": Question(
            tuple(weld(n, air, "ccp", "signs") for n, air in enumerate((700, 730, 760, 790), 1))
        ),
        "test_again": Question((cold, bottom, good), speed=0.09),
    }
    for name, question in mornings.items():
        server = find_window(question)
        found = phone(question, known=question.welds[:2])
        assert (server.verdict, found["verdict"]) == (name, name)
        assert found["next"]["reason"] == server.next.reason, name
        assert found["next"]["done"] == server.next.done, name
        if name in ("no_test_weld", "saturated", "no_window", "test_again"):
            assert found["setPoint"] is None
        if server.next.information is None:  # a setting by rule, not the one that teaches most
            near = difference_to_si(21, "f")
            assert found["next"]["air"] == pytest.approx(server.next.air, abs=near), name


def test_an_odd_weld_is_named_until_it_is_repeated(phone: Weigh, weld: Build) -> None:
    """A hot weld that opened cold stops the certificate; made again, it no longer does."""
    welds = (
        weld(1, 640, "ccc"), weld(2, 730, "pfp"), weld(3, 860, "fff"), weld(4, 870, "fff"),
        weld(5, 1080, "fff", "signs"), weld(6, 800, "ccc"),
    )  # fmt: skip
    found = phone(Question(welds))
    assert found["verdict"] == find_window(Question(welds)).verdict == "repeat"
    assert "6" in found["odd"]
    assert found["next"]["air"] == pytest.approx(to_si(800, "f"))
    again = Question((*welds, weld(7, 800, "fff")))
    assert phone(again)["verdict"] == find_window(again).verdict != "repeat"


def test_a_weld_corrected_on_the_phone_counts_as_corrected(phone: Weigh, weld: Build) -> None:
    """The table was drawn after a mistyped weld; the phone's answer forgets the mistake."""
    right = (weld(1, 640, "ccc"), weld(2, 730, "pfp"), weld(3, 860, "fff"))
    wrong = (right[0], weld(2, 730, "ccc"), weld(3, 860, "ccc", "signs"))
    alike(phone(Question(right), known=wrong), find_window(Question(right)))


def test_a_weld_nobody_looked_at_confirms_nothing(
    phone: Weigh, ladder_welds: tuple[TestWeld, ...]
) -> None:
    """Every strip full near the set point, but no look for heat signs: one more weld."""

    def unseen(weld: TestWeld) -> TestWeld:
        return replace(weld, strips=tuple(replace(each, overheat=None) for each in weld.strips))

    question = Question((*ladder_welds[:2], *map(unseen, ladder_welds[2:4]), *ladder_welds[4:]))
    server, found = find_window(question), phone(question)
    alike(found, server)
    assert (found["verdict"], found["confirmedBy"]) == ("confirm", None)
    assert found["next"]["reason"] == server.next.reason == "confirm"


def test_too_thin_a_sample_certifies_nothing(
    phone: Weigh, ladder_welds: tuple[TestWeld, ...]
) -> None:
    """Below 100 effective particles the phone is not sure, however high P(sound)."""
    question = Question(ladder_welds, ambient=300.0)
    assert find_window(question).certified
    thick, thin = phone(question), phone(question, known=(), particles=300)
    assert (thick["sure"], thick["verdict"]) == (True, "certified")
    assert thin["effective"] < LEAST_EFFECTIVE
    assert (thin["sure"], thin["certified"]) == (False, False)
    assert thin["verdict"] == "not_known_yet"
    assert thin["setPoint"]["pSound"] > question.level + 0.03


def test_a_certificate_of_the_phone_needs_more(
    phone: Weigh, ladder_welds: tuple[TestWeld, ...]
) -> None:
    """Just above the level the server certifies; the phone leaves it to the server."""
    p_sound = phone(Question(ladder_welds))["setPoint"]["pSound"]
    found = phone(Question(ladder_welds, level=p_sound - 0.02))
    assert find_window(Question(ladder_welds, level=p_sound - 0.02)).certified
    assert (found["certified"], found["sure"]) == (False, False)
    assert phone(Question(ladder_welds, level=p_sound - 0.04))["certified"]


def test_the_error_of_chance_counts_too(phone: Weigh, weld: Build) -> None:
    """With some 180 effective particles, 0.03 above the level is less than two errors."""
    welds = (
        weld(1, 700, "pfp"), weld(2, 830, "fff"), weld(4, 760, "fff"),
        weld(3, 950, "ffp", ["signs", "none", "none"]),
    )  # fmt: skip

    def at(level: float) -> dict[str, Any]:
        question = Question(welds, ambient=300.0, level=level)
        return phone(question, known=(), particles=1000)

    point, effective = at(0.9)["setPoint"]["pSound"], at(0.9)["effective"]
    error = (point * (1 - point) / effective) ** 0.5
    assert 0.03 < 2 * error < 0.04
    assert (at(point - 0.031)["certified"], at(point - 0.031)["sure"]) == (False, False)
    assert (at(point - 0.041)["certified"], at(point - 0.041)["sure"]) == (True, True)


@pytest.mark.parametrize("sheet", [293.0, 296.0])
def test_a_confirming_weld_must_lie_nearer_for_the_phone(
    phone: Weigh, ladder_welds: tuple[TestWeld, ...], sheet: float
) -> None:
    """A step of the set point must not make the certificate: at 21 to 30 F the server says."""
    question = Question(ladder_welds, sheet=sheet)
    server, found = find_window(question), phone(question)
    assert server.certified
    assert found["confirmedBy"] == server.confirmed_by
    assert found["setPoint"]["pSound"] > question.level + 0.04
    assert found["effective"] > 1000
    assert (found["verdict"], found["sure"]) == ("not_known_yet", False)


def test_the_lowest_heat_is_chosen_alike(phone: Weigh, ladder_welds: tuple[TestWeld, ...]) -> None:
    """By the policy "low" the phone names the same setting, but cannot be sure of the level."""
    question = Question(ladder_welds, policy="low")
    server, found = find_window(question), phone(question)
    assert server.set_point is not None
    near = difference_to_si(11, "f")
    assert found["setPoint"]["air"] == pytest.approx(server.set_point.air, abs=near)
    assert (found["sure"], found["certified"]) == (False, False)


def test_order_and_repetition_change_nothing(run: Run, ladder_welds: tuple[TestWeld, ...]) -> None:
    """The same welds in any order, asked twice, give the same answer to the last digit."""
    table = sample_table(Question(ladder_welds[:2]), rng=np.random.default_rng(5)).as_json()
    welds = [asdict(weld) for weld in ladder_welds]
    body = """const { weigh } = await import('/field/weigh/window.js');
    const [table, welds] = value;
    const orders = [welds, welds, [...welds].reverse()];
    return orders.map((given) => JSON.stringify(weigh(table, given)));"""
    first, second, reversed_ = run(body, [table, welds])
    assert first == second == reversed_


def test_the_phone_computes_and_does_nothing_else() -> None:
    """The modules touch no page, no storage and no network."""
    for name in ("likelihood.js", "soundness.js", "window.js"):
        text = (STATIC / "field" / "weigh" / name).read_text(encoding="utf-8")
        code = "\n".join(line.split("//")[0] for line in text.splitlines())
        forbidden = r"\b(document|globalThis|navigator|fetch|indexedDB|\w+Storage|caches|self)\b"
        assert not re.search(forbidden, code)
        assert not re.search(r"Math\.random|Date", code)
