"""The window page in a browser: entering test welds and seeing the window move."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from lapwright.readings.strips import read_welds

Opened = Callable[..., Page]


def start_from_example(page: Page) -> None:
    """Take the invented morning and wait for its answer."""
    page.locator("#start button").first.click()
    page.locator("#set-point").wait_for()


def pick(page: Page, choice: str) -> None:
    """Tap a segment, as a gloved thumb does."""
    page.locator(f"label:has(#{choice})").click()


def enter_weld(page: Page, *, air: int, grade: str, heat: str) -> None:
    """Enter one weld with three strips of one grade and wait until the answer counts it."""
    page.fill("#air", str(air))
    for strip in (1, 2, 3):
        pick(page, f"strip-{strip}-{grade}")
    pick(page, f"heat-{heat}")
    with page.expect_response("**/api/window"):
        page.click("#add")


def middle_of(page: Page, edge: str) -> float:
    """Where the page says that an edge lies, in its unit."""
    found = re.search(r"about (\d+)", page.inner_text(f".edges .{edge}"))
    assert found, page.inner_text(f".edges .{edge}")
    return float(found[1])


def test_the_example_shows_verdict_set_point_and_chart(open_page: Opened) -> None:
    """One tap shows a whole morning, marked as invented, with one tag per test weld."""
    page = open_page()
    start_from_example(page)
    expect(page.locator("#verdict")).not_to_be_empty()
    expect(page.locator("#set-point")).to_have_text(re.compile(r"\d+ °F\s*[\d.]+ ft/min"))
    expect(page.locator(".blade-chance b")).to_have_text(re.compile(r"\d+ %"))
    expect(page.locator(".margins li")).to_have_count(2)
    expect(page.locator("#chart .tag")).to_have_count(6)
    expect(page.locator(".invented")).to_be_visible()


def test_a_cold_weld_moves_the_bottom_up(open_page: Opened) -> None:
    """Strips that came apart cold at 800 F push the bottom towards 800 F."""
    page = open_page()
    start_from_example(page)
    before = middle_of(page, "bottom")
    enter_weld(page, air=800, grade="cold", heat="none")
    expect(page.locator("#chart .tag")).to_have_count(7)
    expect(page.locator(".edges .bottom")).not_to_contain_text(f"about {before:.0f}")
    assert middle_of(page, "bottom") > before + 10


def test_a_clean_pull_with_heat_signs_moves_the_top_down(open_page: Opened) -> None:
    """Full grades do not clear a weld: its heat signs pull the top towards it."""
    page = open_page()
    start_from_example(page)
    before = middle_of(page, "top")
    enter_weld(page, air=940, grade="full", heat="signs")
    expect(page.locator(".edges .top")).not_to_contain_text(f"about {before:.0f}")
    assert middle_of(page, "top") < before - 10


def test_without_a_weld_it_asks_how_warm_it_is_and_then_says_where_to_start(
    open_page: Opened,
) -> None:
    """The roof's air temperature is enough for a first suggestion; one tap fills it in."""
    page = open_page()
    expect(page.locator("#verdict")).to_have_text(
        "To begin, enter how warm the air on the roof is."
    )
    page.fill("#ambient", "80")
    page.locator("#fill-next").click()
    suggested = re.search(r"weld at (\d+) °F", page.inner_text(".next b"))
    assert suggested
    expect(page.locator("#air")).to_have_value(suggested[1])


def test_heat_signs_must_be_answered_and_have_no_default(open_page: Opened) -> None:
    """Without an answer nothing is added; "not looked" is an answer and stays one."""
    page = open_page()
    start_from_example(page)
    expect(page.locator("#heat input:checked")).to_have_count(0)
    page.fill("#air", "820")
    pick(page, "strip-1-full")
    page.click("#add")
    expect(page.locator("#gaps")).to_have_text("Still needed: heat signs.")
    expect(page.locator("#heat-none")).to_be_focused()
    expect(page.locator(".weld")).to_have_count(6)
    pick(page, "heat-not_looked")
    with page.expect_request("**/api/window") as asked:
        page.click("#add")
    rows = json.loads(asked.value.post_data or "")["rows"]
    assert [row["overheat"] for row in rows if row["weld"] == "7"] == [""]
    expect(page.locator("#heat input:checked")).to_have_count(0)


def test_rarer_grades_are_behind_more(open_page: Opened) -> None:
    """Skin, break, split and not valid appear on a tap and can be picked."""
    page = open_page()
    expect(page.locator("label:has(#strip-2-skin)")).to_be_hidden()
    page.locator("#strip-2 .segment-more").click()
    pick(page, "strip-2-skin")
    expect(page.locator("#strip-2-skin")).to_be_checked()
    expect(page.locator("label:has(#strip-1-skin)")).to_be_hidden()


def test_steppers_move_in_steps_a_machine_can_set(open_page: Opened) -> None:
    """Air by 10 F onto the tens, speed by 0.5 ft/min."""
    page = open_page()
    page.fill("#air", "853")
    page.click("#air-more")
    expect(page.locator("#air")).to_have_value("860")
    page.click("#air-more")
    expect(page.locator("#air")).to_have_value("870")
    page.click("#air-less")
    page.click("#air-less")
    expect(page.locator("#air")).to_have_value("850")
    page.fill("#speed", "10")
    page.click("#speed-less")
    expect(page.locator("#speed")).to_have_value("9.5")


def test_a_weld_can_be_entered_by_keyboard_alone(open_page: Opened) -> None:
    """Tab, arrows, figures and Enter suffice from an empty page to an answer."""
    page = open_page()

    def tab_to(target: str) -> None:
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.id") == target:
                return
        raise AssertionError(f"Tab never reaches {target}")

    for field, text in {"air": "860", "speed": "10", "ambient": "80"}.items():
        tab_to(field)
        page.keyboard.type(text)
    for strip, presses in ((1, 2), (2, 2), (3, 1)):
        tab_to(f"strip-{strip}-cold")
        for _ in range(presses):
            page.keyboard.press("ArrowRight")
    tab_to("heat-none")
    page.keyboard.press("Space")
    tab_to("add")
    with page.expect_response("**/api/window"):
        page.keyboard.press("Enter")
    weld = page.locator(".weld")
    expect(weld).to_contain_text("860 °F, 10 ft/min")
    expect(weld.locator(".grades")).to_have_text("fullfullpartialno heat signs")
    expect(page.locator("#answer")).to_be_focused()
    expect(page.locator("#spoken")).not_to_be_empty()


def test_a_weld_taken_out_is_not_counted_and_can_be_put_back(open_page: Opened) -> None:
    """Taking out changes the view, never what was entered."""
    page = open_page()
    start_from_example(page)
    whole = page.inner_text(".edges .top")
    with page.expect_response("**/api/window"):
        page.click("#weld-2")  # the one with heat signs
    expect(page.locator(".edges .top")).not_to_have_text(whole)
    expect(page.locator("#chart .tag")).to_have_count(5)
    expect(page.locator(".weld.out")).to_contain_text("Weld 2")
    page.click("#weld-2")
    expect(page.locator(".edges .top")).to_have_text(whole)


def test_a_list_that_is_replaced_can_be_brought_back(open_page: Opened) -> None:
    """Typed welds survive the example, and the example leaves no conditions behind."""
    page = open_page()
    page.fill("#ambient", "91")
    page.fill("#speed", "9")
    enter_weld(page, air=830, grade="full", heat="none")
    page.click("#example")
    expect(page.locator(".weld")).to_have_count(6)
    page.click("#empty")
    expect(page.locator(".weld")).to_have_count(0)
    expect(page.locator("#ambient")).to_have_value("")
    page.click("#earlier")
    expect(page.locator(".weld")).to_have_count(1)
    expect(page.locator(".weld")).to_contain_text("830 °F, 9 ft/min")
    expect(page.locator("#ambient")).to_have_value("91")


def test_language_and_units_switch_and_are_kept(open_page: Opened) -> None:
    """Spanish and metric reach every part, go out as typed, and survive a reload."""
    page = open_page()
    start_from_example(page)
    english = page.inner_text("#verdict")
    page.fill("#air", "850")
    pick(page, "units-metric")
    expect(page.locator("#set-point")).to_contain_text("°C")
    expect(page.locator("#set-point")).to_contain_text("m/min")
    expect(page.locator("#air")).to_have_value("454")  # 850 F is 454.4 C
    pick(page, "lang-es")
    expect(page.locator("html")).to_have_attribute("lang", "es")
    expect(page.locator("#verdict")).not_to_have_text(english)
    expect(page.locator("#add")).to_have_text("Agregar soldadura")
    page.reload()
    expect(page.locator("#lang-es")).to_be_checked()
    expect(page.locator("#set-point")).to_contain_text("°C")
    for strip in (1, 2, 3):
        pick(page, f"strip-{strip}-full")
    pick(page, "heat-none")
    with page.expect_request(lambda request: '"weld":"7"' in (request.post_data or "")) as asked:
        page.click("#add")
    rows = json.loads(asked.value.post_data or "")["rows"]
    assert rows[-1]["air_f"] == "850"
    pick(page, "units-us")
    expect(page.locator(".weld").last).to_contain_text("850 °F")


def test_a_spanish_phone_is_greeted_in_spanish(open_page: Opened) -> None:
    """The language of the phone decides until somebody chooses."""
    page = open_page(locale="es-US")
    expect(page.locator("#lang-es")).to_be_checked()


def test_entries_are_saved_as_a_strip_file_and_read_back(open_page: Opened, tmp_path: Path) -> None:
    """The saved file is the file that every part of lapwright reads; the page reads it too."""
    page = open_page()
    start_from_example(page)
    pick(page, "units-metric")
    page.fill("#air", "430")
    enter_weld(page, air=430, grade="partial", heat="not_looked")
    with page.expect_download() as saving:
        page.click("#save")
    file = tmp_path / saving.value.suggested_filename
    saving.value.save_as(file)
    welds = read_welds(file)
    assert [weld.number for weld in welds] == ["1", "2", "3", "4", "5", "6", "7"]
    assert abs(welds[-1].air - 703.15) < 0.01  # 430 C
    assert [strip.pull for strip in welds[-1].strips] == ["partial"] * 3
    assert {strip.overheat for strip in welds[-1].strips} == {None}
    page.click("#empty")
    page.set_input_files("#open", file)
    expect(page.locator(".weld")).to_have_count(7)
    expect(page.locator(".invented")).to_have_count(0)


def test_a_file_that_cannot_be_read_is_refused_with_its_place(
    open_page: Opened, tmp_path: Path
) -> None:
    """A wrong cell is named, and the welds in view stay."""
    page = open_page()
    start_from_example(page)
    file = tmp_path / "monday.csv"
    file.write_text(
        "weld,air_f,speed_ft_min,ambient_f,strip,pull,overheat\n1,hot,10,80,1,full,none\n"
    )
    page.set_input_files("#open", file)
    expect(page.locator(".notice")).to_contain_text("monday.csv")
    expect(page.locator(".notice")).to_contain_text("row 2")
    expect(page.locator(".weld")).to_have_count(6)


def test_where_no_setting_holds_none_is_shown(open_page: Opened, tmp_path: Path) -> None:
    """Cold and scorched at once: no figure to weld with, no "no more tests needed"."""
    page = open_page()
    grades = {700: "cold,none", 800: "cold,signs", 900: "cold,signs", 1000: "partial,signs"}
    rows = [
        f"{weld},{air},10,72,{strip},{grade}"
        for weld, (air, grade) in enumerate(grades.items(), start=1)
        for strip in (1, 2, 3)
    ]
    file = tmp_path / "no-window.csv"
    file.write_text("weld,air_f,speed_ft_min,ambient_f,strip,pull,overheat\n" + "\n".join(rows))
    page.set_input_files("#open", file)
    expect(page.locator("#verdict")).to_contain_text("No window")
    expect(page.locator(".next b")).to_have_text("Stop testing and change something first.")
    expect(page.locator("#set-point")).to_have_count(0)
    expect(page.locator("#chart .flag")).to_have_count(0)
    expect(page.locator("#spoken")).not_to_contain_text("Setting")


def test_a_slip_of_the_finger_is_named_by_its_weld(open_page: Opened) -> None:
    """A value no machine has is refused with the weld's number; taking it out clears it."""
    page = open_page()
    start_from_example(page)
    enter_weld(page, air=8600, grade="full", heat="none")
    expect(page.locator(".notice")).to_contain_text("weld 7")
    expect(page.locator("#answer")).to_have_class("old")
    page.click("#weld-7")
    expect(page.locator(".notice")).to_have_count(0)
    expect(page.locator("#answer")).not_to_have_class("old")
