"""The parts of the field page, each at its work: what is kept, what is said, what is refused."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

import lapwright.web.app

Opened = Callable[..., Page]
KIT = Path(lapwright.web.app.__file__).parent / "static" / "kit"
EXACT = 1e-9


def kept(page: Page, name: str) -> Any:
    """What the part gave back last; "nothing yet" apart from null."""
    return page.evaluate("(name) => name in kept ? kept[name] : 'nothing yet'", name)


# --- numbers --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("field", "typed", "quantity"),
    [
        ("air", "865", {"value": "865", "unit": "f"}),
        ("air", " 865. ", {"value": "865", "unit": "f"}),
        ("speed", "9,75", {"value": "9.75", "unit": "ft_min"}),  # a decimal comma is read
        ("speed", "9.750", {"value": "9.750", "unit": "ft_min"}),  # digits stay as typed
        ("sheet", "−5", {"value": "-5", "unit": "f"}),  # a sheet may be below zero
        ("from", "431", {"value": "431", "unit": "ft"}),
    ],
)
def test_a_number_is_kept_as_typed_with_its_unit(
    open_trial: Opened, field: str, typed: str, quantity: dict[str, str]
) -> None:
    """The digits that were typed and the unit they were typed in stay together."""
    page = open_trial("kit.html")
    page.fill(f"#{field}", typed)
    assert kept(page, field) == quantity
    expect(page.locator(f"#{field}-fault")).to_be_empty()


@pytest.mark.parametrize(
    ("field", "typed", "reason"),
    [
        ("air", "86o", "“86o” is not a number."),
        ("air", "1e3", "“1e3” is not a number."),
        ("air", "1,000", "“1,000”: write 1000 or 1.000."),  # a thousand, or one?
        ("speed", "-3", "Cannot be below zero."),
        ("from", "12.5", "Whole feet only."),
        ("from", "1,815", "“1,815”: write 1815 or 1.815."),
        ("from", "432", "The seam ends at 431 ft."),
    ],
)
def test_what_is_no_number_is_not_kept_and_says_why(
    open_trial: Opened, field: str, typed: str, reason: str
) -> None:
    """A doubtful text stands in its field with the reason; what is kept is `not known`."""
    page = open_trial("kit.html")
    page.fill(f"#{field}", "7")
    page.fill(f"#{field}", typed)
    assert kept(page, field) is None
    page.locator(f"#{field}").blur()
    expect(page.locator(f"#{field}")).to_have_value(typed)
    expect(page.locator(f"#{field}")).to_have_accessible_description(re.compile(re.escape(reason)))
    expect(page.locator(f"#{field}")).to_have_attribute("aria-invalid", "true")


def test_an_emptied_field_is_not_known_and_no_zero(open_trial: Opened) -> None:
    """Empty is null and asks nothing; zero has to be typed."""
    page = open_trial("kit.html")
    page.fill("#speed", "0")
    assert kept(page, "speed") == {"value": "0", "unit": "ft_min"}
    page.fill("#speed", "")
    assert kept(page, "speed") is None
    expect(page.locator("#speed-fault")).to_be_empty()


def test_the_point_of_thousands_is_doubted_in_spanish(open_trial: Opened) -> None:
    """Where the comma is the decimal mark, "1.250" may be a thousand: it is asked about."""
    page = open_trial("kit.html?lang=es")
    page.fill("#air", "1.250")
    assert kept(page, "air") is None
    expect(page.locator("#air-fault")).to_have_text("«1.250»: escriba 1250 o 1,250.")
    page.fill("#air", "1,250")
    assert kept(page, "air") == {"value": "1.250", "unit": "f"}


def test_other_units_show_another_figure_and_keep_the_first(open_trial: Opened) -> None:
    """Who reads metric sees metric; what was typed is not rounded by being looked at."""
    page = open_trial("kit.html")
    page.fill("#air", "865")
    page.fill("#from", "100")
    page.goto(page.url + "?units=metric")
    expect(page.locator("#air")).to_have_value("463")  # (865 - 32) / 1.8 = 462.8 C
    expect(page.locator("#from")).to_have_value("30.5")  # 100 x 0.3048 m, exact
    assert kept(page, "air") == {"value": "865", "unit": "f"}
    page.click("#air-more-5")
    assert kept(page, "air") == {"value": "465", "unit": "c"}  # onto whole steps


def test_taps_start_at_the_usual_and_move_by_one_step(open_trial: Opened) -> None:
    """From `not known` the first tap takes the usual value; it never passes zero."""
    page = open_trial("kit.html")
    page.click("#air-more-10")
    assert kept(page, "air") == {"value": "850", "unit": "f"}
    page.click("#air-less-10")
    assert kept(page, "air") == {"value": "840", "unit": "f"}
    page.fill("#speed", "0")
    page.click("#speed-less-0\\.5")
    assert kept(page, "speed") == {"value": "0", "unit": "ft_min"}


def test_a_station_moves_by_feet_within_its_seam(open_trial: Opened) -> None:
    """Taps add feet to the place; they stop at the origin and at the far end."""
    page = open_trial("kit.html")
    page.fill("#from", "417")
    page.click("#from-more-10")
    page.click("#from-more-1")
    assert kept(page, "from") == {"value": "428", "unit": "ft"}
    page.click("#from-more-10")  # 438 is past the end
    assert kept(page, "from") == {"value": "428", "unit": "ft"}
    page.fill("#from", "4")
    page.click("#from-less-10")
    assert kept(page, "from") == {"value": "0", "unit": "ft"}


def test_a_station_in_meters_has_one_decimal(open_trial: Opened) -> None:
    """A tenth of a meter is finer than the foot that a station is good for."""
    page = open_trial("kit.html?units=metric&lang=es")
    page.fill("#from", "12,25")
    assert kept(page, "from") is None
    page.fill("#from", "12,2")
    page.click("#from-more-0\\.5")
    assert kept(page, "from") == {"value": "12.7", "unit": "m"}
    expect(page.locator("#from")).to_have_value("12,7")


# --- choices, buttons, lines ----------------------------------------------------------------


def test_not_looked_is_an_answer_of_its_own(open_trial: Opened) -> None:
    """Nobody answered, nobody looked, and no: three different things."""
    page = open_trial("kit.html")
    group = page.get_by_role("group", name="Smoke during the weld?")
    assert group.get_by_role("radio", checked=True).count() == 0
    group.locator("label", has_text="Not looked").click()
    assert kept(page, "smoke") == "not_looked"
    group.locator("label:has(#smoke-no)").click()
    assert kept(page, "smoke") == "no"


def test_the_picked_tile_carries_a_tick(open_trial: Opened) -> None:
    """Which tile is picked shows without its colour."""
    page = open_trial("kit.html")
    page.locator("label:has(#pull-full)").click()
    ticked = page.locator("#pull .kit-tick .kit-shape")
    shown = ticked.evaluate_all("(all) => all.map((one) => getComputedStyle(one).visibility)")
    assert shown == ["hidden", "hidden", "visible", "hidden"]  # cold, partial, full, not valid


def test_a_mark_made_elsewhere_stands_in_its_tile(open_trial: Opened) -> None:
    """The strip marks of the other page serve here: empty, half, solid, crossed."""
    marks = open_trial("kit.html").locator("#pull .kit-placed svg")
    expect(marks).to_have_count(4)
    parts = marks.evaluate_all("(all) => all.map((one) => one.querySelectorAll('g > *').length)")
    assert parts == [1, 2, 2, 2]  # outline alone; outline and filling or cross
    expect(marks.nth(2).locator(".strip-fill")).to_have_attribute("width", "18")


def test_a_banner_says_why_and_what_to_do(open_trial: Opened) -> None:
    """One line, its reason beside it, one thing to do; its shape stays silent."""
    page = open_trial("kit.html")
    banner = page.get_by_role("status").filter(has_text="Test again")
    expect(banner).to_contain_text("sheet 21 °F colder since weld 4")
    expect(banner.locator("svg")).to_have_attribute("aria-hidden", "true")
    banner.get_by_role("button", name="Weld a test").click()
    assert kept(page, "answered") == "test"


def test_a_button_that_waits_says_why_and_does_nothing(open_trial: Opened) -> None:
    """It can be reached and heard before its time; only then it works."""
    page = open_trial("kit.html")
    keep = page.get_by_role("button", name="Keep weld 5")
    expect(keep).to_have_accessible_description("Say the air temperature first.")
    keep.focus()
    page.keyboard.press("Enter")
    assert kept(page, "presses") == "nothing yet"
    page.click("#air-more-10")
    keep.click()
    assert kept(page, "presses") == 1


def test_what_was_done_can_be_taken_back(open_trial: Opened) -> None:
    """Nobody is asked beforehand; afterwards one tap undoes, and nothing runs out of time."""
    page = open_trial("kit.html")
    page.click("#air-more-10")
    page.get_by_role("button", name="Keep weld 5").click()
    expect(page.get_by_role("status").filter(has_text="Weld 5 kept")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    assert kept(page, "undo") is None
    expect(page.get_by_role("button", name="Undo")).to_have_count(0)


def test_a_new_undo_is_read_out(open_trial: Opened) -> None:
    """The place that is read out stands in the page before its text comes."""
    expect(open_trial("kit.html").locator(".kit-undo[role=status]")).to_have_count(1)


def test_a_screen_begins_at_its_title(open_trial: Opened) -> None:
    """A new screen names itself to the browser and takes the reading to its top."""
    page = open_trial("kit.html")
    expect(page.get_by_role("heading", level=1)).to_be_focused()
    expect(page).to_have_title("Trial of every part")
    page.get_by_role("button", name="Back").click()
    assert kept(page, "back") is True


def test_a_whole_line_is_its_button(open_trial: Opened) -> None:
    """A row that leads somewhere is hit anywhere; one that does not is no button."""
    page = open_trial("kit.html")
    rows = page.get_by_role("list", name="Seams")
    expect(rows.get_by_role("listitem")).to_have_count(3)
    expect(rows.get_by_role("button")).to_have_count(2)
    rows.get_by_role("button", name="A-S017").click(position={"x": 3, "y": 3})
    assert kept(page, "row") == "A-S017"


# --- timer ----------------------------------------------------------------------------------


COOLING = [  # s passed since the start, s left of 10 min, cool?
    (0, 600, False),
    (0.2, 600, False),  # a started second still counts
    (599.5, 1, False),
    (600, 0, True),
    (9000, 0, True),
    (-3600, 600, False),  # the clock was set back an hour: no longer than from the start
]


def test_the_time_left_follows_from_the_start(open_trial: Opened) -> None:
    """Cooling is a function of start, length and now: 10 min less what passed, never below 0."""
    started = 1_790_000_000_000
    asked = [
        {"started": started, "lasts": 600, "now": started + 1000 * passed} for passed, *_ in COOLING
    ]
    answers = open_trial().evaluate(
        "async (asked) => asked.map((await import('/kit/timer.js')).cooling)", asked
    )
    for (passed, left, is_done), answer in zip(COOLING, answers, strict=True):
        assert (answer["left"], answer["isDone"]) == (left, is_done), passed
        assert answer["share"] == pytest.approx(min(max(passed, 0), 600) / 600, abs=EXACT)


def test_cooling_goes_on_while_the_page_is_closed(open_trial: Opened) -> None:
    """After a reload the same time is left, and the end is told."""
    page = open_trial("kit.html")
    page.clock.install(time=1_790_000_000)
    page.reload()
    page.get_by_role("button", name="Weld done, start cooling").click()
    timer = page.get_by_role("timer")
    expect(timer).to_contain_text("10:00")
    page.clock.run_for(200_000)
    expect(timer).to_contain_text("6:40")
    page.reload()
    expect(timer).to_have_accessible_name("Cooling: 6 min 40 s left")
    page.clock.run_for(400_000)
    expect(page.get_by_role("status").filter(has_text="Cool: pull the strips")).to_be_visible()
    expect(timer).to_have_count(0)


# --- photo, drawer --------------------------------------------------------------------------


def picture(page: Page) -> bytes:
    """A real picture, painted by the browser."""
    painted: list[int] = page.evaluate(
        """async () => {
        const canvas = new OffscreenCanvas(1280, 800);
        canvas.getContext("2d").fillRect(200, 100, 300, 200);
        const blob = await canvas.convertToBlob({ type: "image/jpeg" });
        return [...new Uint8Array(await blob.arrayBuffer())];
        }"""
    )
    return bytes(painted)


def sum_of_photo(page: Page) -> str:
    """The sum of what was given back, bytes and all."""
    told: str = page.evaluate(
        """async () => {
        const sum = await crypto.subtle.digest("SHA-256", await kept.photo.arrayBuffer());
        return [...new Uint8Array(sum)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
        }"""
    )
    return told


def test_a_photo_comes_back_byte_for_byte(open_trial: Opened) -> None:
    """What the camera gave is what is kept, and it is shown; it can be taken away again."""
    page = open_trial("kit.html")
    taken = picture(page)
    field = page.get_by_role("group", name="Photo of strip 1")
    page.set_input_files("#photo", {"name": "1.jpg", "mimeType": "image/jpeg", "buffer": taken})
    shown = field.get_by_role("img", name="Photo of strip 1")
    expect(shown).to_have_js_property("width", 640)
    expect(shown).to_have_js_property("height", 400)
    assert sum_of_photo(page) == hashlib.sha256(taken).hexdigest()
    field.get_by_role("button", name="Remove").click()
    assert kept(page, "photo") is None
    expect(shown).to_have_count(0)


def test_a_picture_that_cannot_be_shown_is_kept(open_trial: Opened) -> None:
    """A phone's own kind of picture may be strange to this browser: it is evidence all the same."""
    page = open_trial("kit.html")
    strange = b"no browser paints this" * 100_000
    page.set_input_files("#photo", {"name": "1.heic", "mimeType": "image/heic", "buffer": strange})
    expect(page.get_by_text("Kept, 2.2 MB.")).to_be_visible()
    expect(page.locator("canvas")).to_be_hidden()
    assert sum_of_photo(page) == hashlib.sha256(strange).hexdigest()


def test_the_camera_is_asked_for(open_trial: Opened) -> None:
    """The field opens the camera at the back, and takes nothing but pictures."""
    field = open_trial("kit.html").locator("#photo")
    expect(field).to_have_attribute("capture", "environment")
    expect(field).to_have_attribute("accept", "image/*")


def test_escape_closes_a_drawer_and_goes_back_to_its_button(open_trial: Opened) -> None:
    """A drawer keeps the keyboard inside while it is open, and gives it back."""
    page = open_trial("kit.html")
    opener = page.get_by_role("button", name="Open the reasons")
    opener.click()
    drawer = page.get_by_role("dialog", name="Why")
    expect(drawer).to_be_visible()
    for _ in range(4):
        page.keyboard.press("Tab")
        assert page.evaluate("!document.activeElement.closest('.kit-screen > main > .kit-press')")
    page.keyboard.press("Escape")
    expect(drawer).to_have_count(0)
    page.wait_for_function("kept.drawer === false")  # who opened it is told that it is closed
    expect(opener).to_be_focused()


# --- words ----------------------------------------------------------------------------------


def test_the_kit_speaks_both_languages() -> None:
    """Same keys, same places for values, in English and Spanish; each used, none missing."""
    en, es = (
        json.loads((KIT / f"words.{lang}.json").read_text(encoding="utf-8"))
        for lang in ("en", "es")
    )
    assert list(en) == list(es)
    for key in en:
        assert set(re.findall(r"\{\w+\}", en[key])) == set(re.findall(r"\{\w+\}", es[key])), key
    code = "".join(path.read_text(encoding="utf-8") for path in KIT.glob("*.js"))
    asked = set(re.findall(r'"(kit\.\w+)"', code))
    asked |= {f"kit.{key}" for key in ("yes", "no", "not_looked", "station_ft", "station_m")}
    assert asked == set(en)
