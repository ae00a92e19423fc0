"""The parts in the sun, in gloves, without eyes, without a finger: what each has to keep."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

AXE = (Path(__file__).parents[1] / "vendor" / "axe.min.js").read_text(encoding="utf-8")
Opened = Callable[..., Page]
MODES = ["lang=en&units=us", "lang=en&units=us&sun", "lang=es&units=metric&sun"]
# 320 x 284 is a phone of 640 x 568 at 200 %.
SIZES = [(320, 284), (320, 568), (360, 740), (740, 360), (1280, 900)]


def used_page(open_trial: Opened, mode: str, **more: Any) -> Page:
    """The trial with a fault, picked tiles, a running timer, something to undo."""
    page = open_trial(f"kit.html?{mode}", **more)
    page.locator("#air").fill("850")
    page.locator(".kit-button.main").click()
    page.locator("#speed").fill("9x")
    page.locator("label:has(#pull-full)").click()
    page.locator("label:has(#smoke-not_looked)").click()
    page.get_by_role("button", name="start cooling").click()
    expect(page.locator(".kit-undo p")).to_be_visible()
    return page


def violations(page: Page) -> list[str]:
    """What the accessibility rules of axe-core object to."""
    page.evaluate(AXE)
    found: list[dict[str, Any]] = page.evaluate("axe.run().then((result) => result.violations)")
    return [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in found]


@pytest.mark.parametrize("mode", MODES)
def test_no_accessibility_rule_is_broken(open_trial: Opened, mode: str) -> None:
    """Zero violations of axe-core: untouched, in use, with a drawer open."""
    untouched = open_trial(f"kit.html?{mode}")
    untouched.locator("#air").wait_for()
    assert violations(untouched) == []
    page = used_page(open_trial, mode)
    assert violations(page) == []
    page.get_by_role("button", name="Open the reasons").click()
    page.locator("dialog[open]").wait_for()
    assert violations(page) == []


@pytest.mark.parametrize("mode", MODES)
def test_targets_are_large_enough_for_gloves(open_trial: Opened, mode: str) -> None:
    """Everything that can be tapped is at least 48 px both ways (our choice, about 8 mm)."""
    page = used_page(open_trial, mode)
    page.get_by_role("button", name="Open the reasons").click()
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        small = page.evaluate(
            """() => [...document.querySelectorAll(
                "button, .kit-button, .kit-tile, .kit-figure input, input[type=file]")]
            .filter((target) => target.checkVisibility())
            .map((target) => [target.outerHTML.slice(0, 90), target.getBoundingClientRect()])
            .filter(([, box]) => Math.round(box.width) < 48 || Math.round(box.height) < 48)
            .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)"""
        )
        assert small == [], width


@pytest.mark.parametrize("mode", MODES)
def test_nothing_runs_off_the_side(open_trial: Opened, mode: str) -> None:
    """No part is wider than the screen, down to 320 px and at 200 %."""
    page = used_page(open_trial, mode)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        outside = page.evaluate(
            """() => [...document.querySelectorAll("body *")]
            .filter((one) => one.checkVisibility() && !one.closest(".kit-spoken"))
            .filter((one) => {
                const { left, right } = one.getBoundingClientRect();
                return left < 0 || right > innerWidth || one.scrollWidth > one.clientWidth + 1
                    && getComputedStyle(one).display !== "inline";
            })
            .map((one) => one.outerHTML.slice(0, 90))"""
        )
        assert outside == [], width
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_larger_letters_of_the_phone_are_followed(open_trial: Opened) -> None:
    """Who sets the phone's letters to 200 % gets them, and still nothing runs off the side."""
    page = used_page(open_trial, MODES[0], width=390)
    page.evaluate("document.styleSheets[0].insertRule('html { font-size: 200% }')")
    assert page.evaluate("getComputedStyle(document.body).fontSize") == "34px"
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("mode", MODES)
def test_no_text_is_smaller_than_16_px(open_trial: Opened, mode: str) -> None:
    """Hints, units and reasons included: they are read in the sun."""
    small = used_page(open_trial, mode).evaluate(
        """() => [...document.querySelectorAll("body *")]
        .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 16)
        .map((one) => one.outerHTML.slice(0, 90))"""
    )
    assert small == []


def colours(page: Page) -> set[str]:
    """Every colour in use for letters, grounds, borders and lines of shapes."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll("body, body *")]
        .filter((one) => one.checkVisibility())
        .flatMap((one) => {
            const style = getComputedStyle(one);
            return [style.color, style.backgroundColor, style.borderTopColor, style.outlineColor,
                style.stroke, style.fill];
        })"""
    )
    return {colour for colour in found if colour not in ("none", "rgba(0, 0, 0, 0)")}


def test_in_the_sun_there_is_only_black_and_white(open_trial: Opened) -> None:
    """Sun mode knows no grey and no colour, and draws thicker lines."""
    plain, sunny = used_page(open_trial, MODES[0]), used_page(open_trial, MODES[1])
    assert colours(sunny) == {"rgb(0, 0, 0)", "rgb(255, 255, 255)"}
    assert len(colours(plain)) > 2
    widths = [
        page.locator(".kit-tile-face").first.evaluate(
            "(one) => parseFloat(getComputedStyle(one).borderTopWidth)"
        )
        for page in (plain, sunny)
    ]
    assert widths[1] > widths[0] >= 3


NAMES: list[tuple[Any, str]] = [
    ("button", "Back"),
    ("textbox", "Air temperature, °F"),
    ("button", "Air temperature: 10 °F more"),
    ("button", "From station: 1 ft less"),
    ("group", "Membrane"),
    ("radio", "TPO 60 mil white, lot on the core"),
    ("button", "Weld done, start cooling"),
    ("button", "I do not trust it stops the chain, asks for a test"),
    ("list", "Seams"),
]


def test_each_part_has_a_name_of_its_own(open_trial: Opened) -> None:
    """A screen reader tells what each thing is and what it belongs to."""
    page = open_trial("kit.html")
    for role, name in NAMES:
        expect(page.get_by_role(role, name=name, exact=True), name).to_have_count(1)


def test_a_count_is_read_as_a_sentence(open_trial: Opened) -> None:
    """A bare figure tells nothing to who only listens."""
    page = open_trial("kit.html")
    expect(page.locator(".kit-aside")).to_have_text("00 not sent")  # figure seen, sentence heard
    assert "0 not sent" in page.locator("header").aria_snapshot()
    assert "00 not sent" not in page.locator("header").aria_snapshot()


def test_all_of_it_works_from_a_keyboard(open_trial: Opened) -> None:
    """Type, step, pick and press without a finger on the glass; the focus always shows."""
    page = open_trial("kit.html")
    page.locator("#air").focus()
    page.keyboard.type("850")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")  # one step more
    assert page.evaluate("kept.air.value") == "860"
    outline = "getComputedStyle(document.activeElement).outlineWidth"
    assert page.evaluate(outline) == "4px"
    page.locator("#pull-cold").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("kept.pull") == "full"
    face = "getComputedStyle(document.activeElement.nextElementSibling).outlineWidth"
    assert page.evaluate(face) == "4px"
    page.locator("#photo").focus()
    assert (
        page.evaluate("getComputedStyle(document.activeElement.parentElement).outlineWidth")
        == "4px"
    )
    page.locator(".kit-button.main").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("kept.presses") == 1


def test_the_bar_at_the_bottom_never_covers_the_focus(open_trial: Opened) -> None:
    """Who walks through the page by keyboard sees where he is, above the bar."""
    page = used_page(open_trial, MODES[0])
    page.locator("h1").focus()
    for _ in range(60):
        page.keyboard.press("Tab")
        hidden = page.evaluate(
            """() => {
            const one = document.activeElement;
            const bar = document.querySelector(".kit-foot");
            if (one === document.body || bar.contains(one)) return null;
            const { bottom } = one.getBoundingClientRect();
            return bottom > bar.getBoundingClientRect().top ? one.outerHTML.slice(0, 90) : null;
            }"""
        )
        assert hidden is None


def test_the_bar_lets_go_where_there_is_no_room(open_trial: Opened) -> None:
    """On a phone on its side the main action scrolls with the page instead of covering it."""
    page = open_trial("kit.html")
    bar = page.locator(".kit-foot")
    expect(bar).to_have_css("position", "sticky")
    page.set_viewport_size({"width": 740, "height": 360})
    expect(bar).to_have_css("position", "static")


@pytest.mark.parametrize(("wish", "moves"), [("reduce", "none"), ("no-preference", "kit-rise")])
def test_nothing_moves_for_who_asks_for_stillness(
    open_trial: Opened, wish: str, moves: str
) -> None:
    """The drawer is the only thing that moves, and not for who asked for less."""
    page = open_trial("kit.html", reduced_motion=wish)
    page.get_by_role("button", name="Open the reasons").click()
    expect(page.locator(".kit-drawer")).to_have_css("animation-name", moves)
