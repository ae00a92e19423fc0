"""The seam map on a phone: whole, readable without colour, by taps, keys and without a signal."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone
from tests.browser.field.test_gloves import small, violations

Opened = Callable[..., Phone]
STATES = ("defect", "suspect", "orphan", "stale", "repaired", "bare", "welded", "proved", "probed")
SCREENS = (
    "map", "map/story/A-S002", "map/story/A-S006", "map/suspect", "map/symptom",
    "map/symptom/peels_clean", "map/punch", "map/plan",
)  # fmt: skip

# Feet of the invented roof by hand, from tests/browser/roof/states.py; area A's side laps are
# 180 ft up to S005, 180 ft S006, 110 ft from S007 on, S004 has a 12 ft curb in it. The suspect
# feet are all of the run of S006: between its neighbours in time, test welds 8 and 9.
FEET = {
    "A-S001": {"probed": 180},
    "A-S002": {"repaired": 3, "proved": 80, "probed": 97},
    "A-S003": {"defect": 2, "bare": 30, "proved": 148},
    "A-S004": {"orphan": 78, "bare": 90},
    "A-S005": {"stale": 180},
    "A-S006": {"suspect": 80, "bare": 100},
    "A-S007": {"bare": 10, "proved": 100},
}


def feet(page: Any) -> dict[str, dict[str, int]]:
    """Whole feet of each seam in each state, as the page holds them."""
    found: dict[str, dict[str, int]] = page.evaluate(
        """async () => {
            const { roof } = await import('/field/roof/kept.js');
            const { lengths } = await import('/field/roof/states.js');
            const whole = ([state, metres]) => [state, Math.round(metres / 0.3048)];
            return Object.fromEntries([...roof.value].map(([seam, pieces]) => [
                seam, Object.fromEntries(lengths(pieces).map(whole))]));
        }"""
    )
    return found


def test_every_foot_has_the_state_that_its_facts_give_it(roof: Opened) -> None:
    """Feet by state on each seam are those counted by hand, a curb's gap left out."""
    found = feet(roof().page)
    assert {seam: found[seam] for seam in FEET} == FEET


def test_the_whole_roof_fits_a_small_phone(roof: Opened) -> None:
    """At 320 px the drawing lies within its view and the view within the page."""
    page = roof(width=320, height=640).page
    sizes = page.evaluate(
        """() => {
            const view = document.querySelector('.map-view');
            return [view.scrollWidth - view.clientWidth, view.scrollHeight - view.clientHeight,
                    document.documentElement.scrollWidth, view.getBoundingClientRect().height];
        }"""
    )
    assert sizes[0] <= 0
    assert sizes[1] <= 0
    assert sizes[2] <= 320
    assert sizes[3] <= 0.6 * 640


def test_the_map_lies_as_the_drawing_does(roof: Opened) -> None:
    """Station 0 of A-S001 lies at the left edge, 115.25 ft below the top, the dock below it all.

    By hand: a half sheet of 5 ft, then rows of 10 ft, each 6 in over the one before: the laps'
    middles lie 4.75 and 14.25 ft above the lower edge of a roof 120 ft high.
    """
    places = roof().page.evaluate(
        """async () => {
            const { drawing } = await import('/field/roof/kept.js');
            const at = (id) => drawing.value.seams.find((seam) => seam.id === id).at(0);
            return ['A-S001', 'A-S002', 'B-S001'].map((id) => at(id).map((m) => m / 0.3048));
        }"""
    )
    (left, first), (_, second), (_, dock) = places
    assert (left, first) == (pytest.approx(0, abs=0.01), pytest.approx(115.25, abs=0.01))
    assert second == pytest.approx(first - 9.5, abs=0.01)
    assert dock > 120


@pytest.mark.parametrize("is_sun", [False, True])
def test_states_differ_by_their_lines_and_not_by_colour_alone(roof: Opened, is_sun: bool) -> None:
    """No two states share widths, dashes, ends and cores; in the sun all are black."""
    page = roof().page
    page.evaluate("async (on) => (await import('/field/app.js')).setPrefs({ isSun: on })", is_sun)
    drawn = page.evaluate(
        """() => [...document.querySelectorAll('.legend .sample')].map((sample) =>
            [...sample.querySelectorAll('.seam')].map((line) => [
                line.getAttribute('stroke-width'), line.getAttribute('stroke-dasharray'),
                line.getAttribute('stroke-linecap'), line.classList.contains('paper')]))"""
    )
    assert len(drawn) == len(STATES)
    assert len({str(lines) for lines in drawn}) == len(STATES)
    if is_sun:
        inks = page.evaluate(
            """() => [...new Set([...document.querySelectorAll('.map-view .seam:not(.paper)')]
                .map((line) => getComputedStyle(line).stroke))]"""
        )
        assert inks == ["rgb(0, 0, 0)"]


def tap(page: Any, seam: str, station: float) -> None:
    """Tap the map where a station in feet lies."""
    x, y = page.evaluate(
        """async ([seam, feet]) => {
            const { drawing } = await import('/field/roof/kept.js');
            const found = drawing.value.seams.find(({ id }) => id === seam);
            const svg = document.querySelector('.map-view svg').getBoundingClientRect();
            const [x, y] = found.at(feet * 0.3048);
            const scale = (svg.height - 40) / drawing.value.height;
            return [svg.left + 20 + x * scale, svg.top + 20 + y * scale];
        }""",
        [seam, station],
    )
    page.mouse.click(x, y)


def test_a_tap_picks_the_nearest_seam_and_leads_to_its_story(roof: Opened) -> None:
    """Four pixels beside a seam is still on it; the one main action tells its story."""
    tom = roof()
    tap(tom.page, "A-S002", 120)
    expect(tom.page.locator(".seam-steps h2")).to_have_text("A-S002")
    expect(tom.page.locator(".picked-seam")).to_contain_text("97 ft")
    tom.main("map.story")
    tom.until("map/story/A-S002")


def test_a_seam_is_reached_by_keyboard_alone(roof: Opened) -> None:
    """From the list a key opens the story; the steps of a picked seam go to its neighbours."""
    tom = roof()
    row = tom.page.locator(".kit-rows button", has_text="A-S004")
    row.focus()
    tom.page.keyboard.press("Enter")
    tom.until("map/story/A-S004")
    tom.open("#/map")
    tom.page.get_by_label(tom.words["map.after"]).focus()
    tom.page.keyboard.press("Enter")
    expect(tom.page.locator(".seam-steps h2")).to_have_text("A-S005")


def test_the_list_says_what_the_map_draws(roof: Opened) -> None:
    """What has to be looked into comes first, the gravest on top; all seams follow on a tap."""
    tom = roof()
    rows = tom.page.locator(".kit-rows button strong")
    assert rows.all_inner_texts() == ["A-S003", "A-S006", "A-S004", "A-S005"]
    expect(tom.page.locator(".kit-rows button").first).to_contain_text("2 ft with an open defect")
    tom.pick("map-show", "all")
    tom.press("map.more")
    names = [name for name in feet(tom.page) if feet(tom.page)[name]]
    assert len(rows.all_inner_texts()) == len(names)


def test_buttons_bring_the_map_nearer_and_move_it(roof: Opened) -> None:
    """No pinch: nearer twice shows more, an arrow moves, and the page never scrolls sideways."""
    tom = roof(width=320, height=640)
    view = tom.page.locator(".map-view")
    before = view.evaluate("(node) => node.scrollWidth")
    nearer = tom.page.get_by_label(tom.words["map.nearer"])
    nearer.click()
    assert view.evaluate("(node) => node.scrollWidth") > 1.5 * before
    left = view.evaluate("(node) => node.scrollLeft")
    tom.page.get_by_label(tom.words["map.right"]).click()
    assert view.evaluate("(node) => node.scrollLeft") > left
    assert tom.page.evaluate("document.documentElement.scrollWidth") <= 320
    tom.press("map.whole")
    assert view.evaluate("(node) => node.scrollWidth") == before


def test_without_a_signal_the_last_answer_stands_with_its_time(roof: Opened, crewed: Any) -> None:
    """The server goes, the page is opened anew: the map as it stood, and what was found since."""
    tom = roof()
    before = feet(tom.page)
    tom.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    crewed.kill()
    tom.page.reload()
    tom.open("#/map")
    expect(tom.page.locator(".whose")).to_contain_text(
        re.compile(tom.words["map.as_of.kept"].split("{")[0])
    )
    assert feet(tom.page) == before
    tom.open("#/probe/defect/A-S001")
    tom.fill("station", "90")
    tom.main("defect.keep")
    tom.open("#/map")
    found = feet(tom.page)["A-S001"]
    assert found == {"defect": 1, "probed": 179}


def test_half_an_answer_changes_nothing(roof: Opened) -> None:
    """Trace and doubts are kept together or not at all: one of them lost, the map stays."""
    tom = roof()
    before = feet(tom.page)
    asked: list[str] = []
    tom.page.route("**/api/jobs/*/suspects?*", lambda route: route.abort())
    tom.page.on("request", lambda request: asked.append(request.url))
    tom.page.evaluate(
        """async () => {
            const { put } = await import('/field/app.js');
            await put('conditions', { ambient: { typed: '70', unit: 'f', how: 'measured' },
                wind: 'calm', sun: 'sun', substrate: 'foam' });
        }"""
    )
    tom.page.wait_for_timeout(4000)
    assert any("/suspects?" in url for url in asked)
    assert feet(tom.page) == before


def test_what_the_phone_welded_and_nobody_traced_is_drawn_as_such(
    roof: Opened, crewed: Any
) -> None:
    """A run made without a signal is "welded", never "proved"."""
    tom = roof()
    crewed.kill()
    tom.page.evaluate(
        """async () => {
            const { put, record } = await import('/field/app.js');
            const at = (typed) => ({ typed, unit: 'ft', how: 'measured' });
            const { machine, operator, power_setup, pairing } = record.value.all('run')[0].body;
            const run = await put('run', { seam: 'A-S008', station: at('0'), machine, operator,
                power_setup, pairing, decision: null });
            await put('run_end', { run: run.id, station: at('50'), reason: 'seam_end' });
        }"""
    )
    assert feet(tom.page)["A-S008"] == {"bare": 60, "welded": 50}


@pytest.mark.parametrize("crewed", ["week"], indirect=True)
def test_the_bundled_week_has_a_map(roof: Opened) -> None:
    """The example shows every state that the server traces, with the server's own lengths."""
    tom = roof()
    sums: dict[str, float] = {}
    for found in feet(tom.page).values():
        for state, length in found.items():
            sums[state] = sums.get(state, 0) + length
    assert {"defect", "suspect", "orphan", "stale", "repaired", "bare", "probed"} <= set(sums)
    traced = tom.page.evaluate(
        """async () => (await import('/field/roof/kept.js')).kept.value.trace.lengths"""
    )
    told = {each["code"]: each["length_ft"] for each in traced}
    assert sums["bare"] == pytest.approx(told["bare"], abs=3)
    assert sums["orphan"] == pytest.approx(told["orphan"], abs=3)


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_screen_of_the_roof_keeps_the_rules_of_sun_and_gloves(
    roof: Opened, language: str
) -> None:
    """No sideways scrolling from 320 px up, targets of 48 px, text of 16 px, axe-core silent."""
    tom = roof(language=language)
    faults: list[str] = []
    for path in SCREENS:
        tom.open(f"#/{path}")
        tom.page.wait_for_timeout(300)
        tom.page.evaluate(
            "document.querySelectorAll('details').forEach((each) => { each.open = 1; })"
        )
        faults += [f"{path}: {text}" for text in violations(tom.page)]
        for width, height in [(320, 568), (360, 740), (740, 360), (1280, 900)]:
            tom.page.set_viewport_size({"width": width, "height": height})
            wide = tom.page.evaluate("document.documentElement.scrollWidth")
            faults += [f"{path}: {wide} px at {width}"] if wide > width else []
            faults += [f"{path} at {width}: {text}" for text in small(tom.page)]
        tom.page.set_viewport_size({"width": 360, "height": 740})
    assert faults == []
