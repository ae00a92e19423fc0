"""Sun, gloves, small phones, screen readers: what every screen of the field page must keep."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page
from tests.browser.crew import Phone

AXE = (Path(__file__).parents[1] / "vendor" / "axe.min.js").read_text(encoding="utf-8")
SIZES = [(320, 568), (360, 740), (740, 360), (1280, 900)]
SCREENS = (
    "start", "start/job", "start/job/new", "start/people", "start/people/new", "start/machine",
    "start/machine/new", "start/pairing", "start/pairing/new", "start/power", "start/power/new",
    "start/checks", "start/conditions", "test", "test/weld", "test/decide", "test/paper",
    "test/paper/in", "run", "run/change", "run/again", "probe", "probe/walk/A-S001",
    "probe/defect/A-S001", "probe/cut", "probe/t-joint", "today", "today/list", "today/settings",
    "today/sign", "today/join",
)  # fmt: skip
Opened = Callable[..., Phone]


def full(phone: Opened, language: str) -> Phone:
    """A phone in the middle of a day, with something to see on every screen."""
    tom = phone(language=language)
    tom.start_day()
    tom.weld("600", "cp" if language == "en" else "cf")
    tom.weld("860", "ff")
    tom.run("A-S001", "0", "50")
    tom.open("#/run")
    tom.press("doubt")
    tom.open("#/probe/defect/A-S001")
    tom.fill("station", "12")
    tom.main("defect.keep")
    tom.until("probe")
    return tom


def each_screen(tom: Phone) -> Any:
    """Go through every screen, quietly."""
    for path in SCREENS:
        tom.open(f"#/{path}")
        tom.page.wait_for_timeout(150)
        yield path


def violations(page: Page) -> list[str]:
    """What the accessibility rules of axe-core object to."""
    page.evaluate(AXE)
    found: list[dict[str, Any]] = page.evaluate("axe.run().then((result) => result.violations)")
    return [f"{each['id']}: {each['nodes'][0]['html'][:160]}" for each in found]


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_screen_keeps_the_rules_of_sun_and_gloves(phone: Opened, language: str) -> None:
    """On each screen and size: no sideways scrolling, targets of 48 px, text of 16 px; and no
    rule of axe-core is broken."""
    tom = full(phone, language)
    faults: list[str] = []
    for path in each_screen(tom):
        faults += [f"{path}: {text}" for text in violations(tom.page)]
        for width, height in SIZES:
            tom.page.set_viewport_size({"width": width, "height": height})
            wide = tom.page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                faults.append(f"{path}: {wide} px wide at {width}")
            faults += [f"{path} at {width}: {text}" for text in small(tom.page)]
        tom.page.set_viewport_size({"width": 360, "height": 740})
    assert faults == []


def small(page: Page) -> list[str]:
    """Targets that a gloved thumb may miss, text too small for the sun."""
    found: list[str] = page.evaluate(
        """() => [
            ...[...document.querySelectorAll("button, summary, a[href], label:has(input)")]
                .filter((target) => target.checkVisibility())
                .map((target) => [target.textContent, target.getBoundingClientRect()])
                .filter(([, box]) => Math.round(box.width) < 48 || Math.round(box.height) < 48)
                .map(([name, box]) => `${name}: ${box.width} x ${box.height}`),
            ...[...document.querySelectorAll("body *")]
                .filter((one) => [...one.childNodes].some(
                    (node) => node.nodeType === 3 && node.data.trim()))
                .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 16)
                .map((one) => one.outerHTML.slice(0, 80)),
        ]"""
    )
    return found


def test_twice_the_text_size_fits(phone: Opened) -> None:
    """At 200 % text on a phone 360 px wide nothing runs off the side, nor does a long setting."""
    tom = full(phone, "en")
    tom.page.evaluate("document.documentElement.style.fontSize = '200%'")
    faults, settings = [], 0
    for path in each_screen(tom):
        settings += tom.page.evaluate(
            """() => [...document.querySelectorAll(".blade-setting span")]
                .map((span) => { span.textContent = "13.5 ft/min"; }).length"""
        )
        if tom.page.evaluate("document.documentElement.scrollWidth") > 360:
            faults.append(path)
    assert faults == []
    assert settings >= 4


def test_large_text_hides_nothing_under_the_bar(phone: Opened) -> None:
    """At 200 % text the bar with what can be undone takes more than half the screen: it goes with
    the page, and stays again in text of the usual size."""
    tom = full(phone, "en")
    tom.weld("1000", "cf")
    place = "getComputedStyle(document.querySelector('.kit-foot')).position"
    assert tom.page.evaluate(place) == "sticky"
    tom.page.evaluate("document.documentElement.style.fontSize = '200%'")
    tom.page.wait_for_function(f"{place} === 'static'")
    tom.page.evaluate("document.documentElement.style.fontSize = ''")
    tom.page.wait_for_function(f"{place} === 'sticky'")


def test_the_keyboard_alone_makes_a_person(phone: Opened) -> None:
    """Fields, tiles and the main action are reached and worked without a pointer."""
    tom = phone()
    tom.new_job("Invented shed")
    tom.open("#/start/people/new")
    tom.page.locator("#person-name").focus()
    tom.page.keyboard.type("Ana")
    tom.page.keyboard.press("Tab")
    tom.page.keyboard.press("Space")  # the first task
    for _ in range(12):
        if "main" in (tom.page.evaluate("document.activeElement.className") or ""):
            break
        tom.page.keyboard.press("Tab")
    tom.page.keyboard.press("Enter")
    tom.until("start/people")
    assert [f["body"]["name"] for f in tom.facts() if f["kind"] == "person"] == ["Ana"]
