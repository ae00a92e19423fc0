"""Power, dew and validity beside the window, as a crew enters and sees them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

Opened = Callable[..., Page]
ROWS = ("power", "dew", "holds")
GOOD = {"sheet": "80", "ambient": "72", "humidity": "50", "since_test": "1"}


def start(page: Page) -> None:
    """Take the invented morning and open the form of this moment."""
    page.locator("#start button").first.click()
    page.locator("#set-point").wait_for()
    page.locator("#now-more summary").click()


def say(page: Page, **values: str) -> None:
    """Type values, leave each field, and wait until an answer counts them all."""
    for measure, value in values.items():
        page.fill(f"#now-{measure}", value)
    with page.expect_response("**/api/window"):
        page.keyboard.press("Tab")


def pick(page: Page, choice: str) -> None:
    """Tap a segment and wait for the answer."""
    with page.expect_response("**/api/window"):
        page.locator(f"label:has(#{choice})").click()


def expect_states(page: Page, **states: str) -> None:
    """Rows with their states."""
    for row, state in states.items():
        expect(page.locator(f"#now-{row}")).to_have_class(re.compile(rf"\b{state}\b"))


def test_nothing_said_is_shown_as_not_said(open_page: Opened) -> None:
    """Three rows with a question mark; none of them looks fine, and nothing is asked about."""
    page = open_page()
    expect(page.locator("#now")).to_be_hidden()
    start(page)
    expect_states(page, power="not_said", dew="not_said", holds="not_said")
    for row in ROWS:
        expect(page.locator(f"#now-{row}")).to_contain_text("Not said:")
    expect(page.locator("#cord-none")).to_be_checked()
    expect(page.locator("#gate")).to_have_count(0)


@pytest.mark.parametrize(("width", "height"), [(360, 740), (1280, 900)])
def test_everything_said_fills_three_rows(open_page: Opened, width: int, height: int) -> None:
    """Figure and sentence per row, on a phone and on a wide screen."""
    page = open_page(width=width, height=height)
    start(page)
    say(page, **GOOD, cord_length="100")
    pick(page, "cord-10-awg")
    expect_states(page, power="good", dew="good", holds="good")
    expect(page.locator("#now-power")).to_contain_text("above the set point")
    expect(page.locator("#now-dew")).to_contain_text("dry enough by the rule")
    expect(page.locator("#now-holds .now-figure")).to_have_text(re.compile(r"^\d\d %$"))
    expect(page.locator("#now-rows .hint")).to_have_text(re.compile(r"Said at \d\d:\d\d\."))
    expect(page.locator("#now-more .safety")).to_contain_text("CO")


def test_a_wet_sheet_stands_above_the_set_point(open_page: Opened) -> None:
    """The gate is the first thing under the verdict, and nobody reads that testing is done."""
    page = open_page()
    start(page)
    expect(page.locator(".next b")).to_have_text("No more test welds needed for now.")
    say(page, **{**GOOD, "sheet": "54"})
    expect(page.locator("#gate")).to_contain_text("Not dry: no weld.")
    expect(page.locator("#verdict + #gate")).to_be_visible()
    expect(page.locator(".blade")).to_have_class("blade halted")
    expect_states(page, dew="stop")
    expect(page.locator(".next")).to_have_count(0)
    expect(page.locator("#spoken")).to_contain_text("Not dry: no weld.")


def test_a_moved_sheet_asks_for_a_test(open_page: Opened) -> None:
    """With reason and rule; the set point stays where the tests put it."""
    page = open_page()
    start(page)
    before = page.text_content("#set-point") or ""
    say(page, **{**GOOD, "sheet": "102"})
    expect(page.locator("#gate")).to_have_text("Test again: sheet warmer by 22 °F (rule: 20 °F).")
    expect(page.locator("#set-point")).to_have_text(before)


def test_weak_power_ends_the_window(open_page: Opened) -> None:
    """180 V: the row says short, and neither set point nor next weld is hotter than that."""
    page = open_page()
    start(page)
    say(page, volts="180")
    expect_states(page, power="stop")
    reach = re.search(r"about\s(\d+)", page.inner_text("#now-power"))
    asked = re.search(r"weld at (\d+)", page.inner_text(".next b"))
    assert reach
    assert asked
    assert int(asked[1]) <= int(reach[1])


def test_taps_alone_suffice(open_page: Opened) -> None:
    """The first tap takes over the last weld's sheet; the others move by one step."""
    page = open_page()
    start(page)
    page.click("#now-sheet-more")
    expect(page.locator("#now-sheet")).to_have_value("80")
    page.click("#now-sheet-more")
    expect(page.locator("#now-sheet")).to_have_value("81")
    for measure in ("ambient", "humidity", "since_test", "cord_length"):
        page.click(f"#now-{measure}-more")
    page.click("#now-since_test-less")
    page.click("#now-since_test-less")
    page.click("#now-since_test-less")
    expect(page.locator("#now-since_test")).to_have_value("0")  # never below
    pick(page, "cord-8-awg")
    expect_states(page, power="good", dew="good", holds="good")
    pick(page, "cord-none")
    expect_states(page, power="not_said")


def test_this_moment_is_entered_by_keyboard_alone(open_page: Opened) -> None:
    """From the set point: Enter opens, figures and Tab fill in, an arrow picks the cord."""
    page = open_page()
    page.locator("#start button").first.click()
    page.locator("#set-point").wait_for()
    page.locator("#more summary").focus()

    def tab_to(target: str) -> None:
        for _ in range(30):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.id") == target:
                return
        raise AssertionError(f"Tab never reaches {target}")

    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    for measure, value in GOOD.items():
        tab_to(f"now-{measure}")
        page.keyboard.type(value)
    tab_to("cord-none")
    page.keyboard.press("ArrowRight")
    tab_to("now-cord_length")
    page.keyboard.type("50")
    page.keyboard.press("Tab")
    expect(page.locator("#now-power")).to_contain_text("16 AWG, 50 ft")
    expect_states(page, dew="good", holds="good")


def test_what_was_said_is_kept_and_goes_out_as_typed(open_page: Opened) -> None:
    """A reload keeps it; units and language switch what is shown, not what was typed."""
    page = open_page(locale="es-US")
    start(page)
    say(page, sheet="80", since_test="1,5", volts="221")
    pick(page, "cord-12-awg")
    page.locator("label:has(#units-metric)").click()
    page.reload()
    page.locator("#set-point").wait_for()
    page.locator("#now-more summary").click()
    expect(page.locator("#now-sheet")).to_have_value("27")
    expect(page.locator("#now-since_test")).to_have_value("1,5")
    expect(page.locator("#cord-12-awg")).to_be_checked()
    with page.expect_request("**/api/window") as asked:
        page.locator("label:has(#lang-en)").click()
    now = json.loads(asked.value.post_data or "")["now"]
    assert now == {"cord": "12 AWG", "sheet_f": "80", "since_test_h": "1.5", "volts": "221"}
    page.click("#now-clear")
    expect(page.locator("#now-sheet")).to_have_value("")
    expect_states(page, power="not_said", dew="not_said", holds="not_said")


def test_spanish_figures_have_a_decimal_comma(open_page: Opened) -> None:
    """On the set point, in the lists and in the fields, as in the sentences."""
    page = open_page(locale="es-US")
    start(page)
    page.locator("label:has(#units-metric)").click()
    expect(page.locator("#set-point")).to_contain_text("3,05 m/min")
    expect(page.locator(".weld").first).to_contain_text("3,05 m/min")
    expect(page.locator("#speed")).to_have_value("3,05")
    expect(page.locator("main")).not_to_contain_text(re.compile(r"\d\.\d"))
    expect(page.locator("label:has(#cord-2\\.5-mm2)")).to_have_text("2,5 mm²")


def test_what_was_said_grows_old(open_page: Opened) -> None:
    """After 15 min dew and validity are not taken for now; one tap says that they still hold."""
    page = open_page()
    page.clock.install()
    page.reload()  # with a clock that the test can turn
    start(page)
    say(page, **GOOD, cord_length="100")
    pick(page, "cord-10-awg")
    expect_states(page, power="good", dew="good", holds="good")
    page.clock.run_for(17 * 60_000)
    expect_states(page, power="good", dew="not_said", holds="not_said")
    expect(page.locator("#now-rows .caution")).to_contain_text("over 15 min ago: measure again")
    expect(page.locator("#now-dew .now-says")).to_have_text(re.compile(r"^At \d\d:\d\d: Sheet"))
    page.click("#still-so")
    expect_states(page, dew="good", holds="good")
    expect(page.locator("#now-since_test")).to_have_value("1.3")  # 1 h and 17 min


def test_without_a_connection_nothing_new_looks_good(open_page: Opened, site: Any) -> None:
    """What is said now is kept, but the rows of before are not shown as its answer."""
    page = open_page()
    start(page)
    say(page, **GOOD)
    expect_states(page, dew="good", holds="good")
    site.stop()
    page.fill("#now-sheet", "54")
    page.keyboard.press("Tab")
    page.locator("#again").wait_for()
    expect_states(page, dew="not_said", holds="not_said")
    expect(page.locator("#answer")).to_have_class("old")
    site.start()
    page.click("#again")
    expect_states(page, dew="stop")


def test_a_slip_of_the_finger_is_refused_and_nothing_looks_good(open_page: Opened) -> None:
    """120 % of humidity is named; the rows are no answer to it."""
    page = open_page()
    start(page)
    say(page, **GOOD)
    say(page, humidity="120")
    expect(page.locator(".notice")).to_contain_text("humidity in % is 120")
    expect_states(page, dew="not_said")
    say(page, humidity="50")
    expect(page.locator(".notice")).to_have_count(0)
    expect_states(page, dew="good")
