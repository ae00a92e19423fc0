"""Sun, gloves, small phones, screen readers: what every state of the page must keep."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8")
LANGUAGES = ["en", "es"]
SIZES = [(320, 568), (360, 740), (390, 844), (740, 360), (1280, 900)]
Opened = Callable[..., Page]


def full_page(open_page: Opened, language: str) -> Page:
    """The page with everything open: an answer, all disclosures, all grades, an open gap."""
    page = open_page(locale=f"{language}-US")
    page.locator("#start button").first.click()
    page.locator("#set-point").wait_for()
    page.locator("#now-more summary").click()
    page.fill("#now-sheet", "110")
    page.click("#now-ambient-more")
    page.locator("label:has(#cord-10-awg)").click()
    page.click("#now-cord_length-more")
    page.locator("#gate").wait_for()
    page.click("#weld-1")
    page.click("#add")
    for more in page.locator(".segment-more").all():
        more.click()
    for summary in page.locator("#more summary, #chart-table summary").all():
        summary.click()
    expect(page.locator("#chart .tag")).to_have_count(5)
    return page


def violations(page: Page) -> list[str]:
    """What the accessibility rules of axe-core object to."""
    page.evaluate(AXE)
    found: list[dict[str, Any]] = page.evaluate("axe.run().then((result) => result.violations)")
    return [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in found]


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_accessibility_rule_is_broken(open_page: Opened, language: str) -> None:
    """Zero violations of axe-core, in both languages, with everything open."""
    assert violations(full_page(open_page, language)) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_accessibility_rule_is_broken_without_a_connection(
    open_page: Opened, site: Any, language: str
) -> None:
    """The notice of a lost connection and the older answer keep the rules too."""
    page = full_page(open_page, language)
    site.stop()
    page.click("#weld-2")
    page.locator("#again").wait_for()
    assert violations(page) == []


def test_an_empty_page_breaks_no_accessibility_rule(open_page: Opened) -> None:
    """Before the first entry the page is as accessible as after it."""
    assert violations(open_page()) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_targets_are_large_enough_for_gloves(open_page: Opened, language: str) -> None:
    """Everything that can be tapped is at least 48 px both ways (our choice, about 8 mm)."""
    page = full_page(open_page, language)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        assert small_targets(page) == [], width


def small_targets(page: Page) -> list[str]:
    """Visible targets that a gloved thumb may miss."""
    small: list[str] = page.evaluate(
        """() => [...document.querySelectorAll(
            "button, summary, .button, .segment, input[type=text]")]
        .filter((target) => target.checkVisibility())
        .map((target) => [target.textContent || target.id, target.getBoundingClientRect()])
        .filter(([, box]) => Math.round(box.width) < 48 || Math.round(box.height) < 48)
        .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)"""
    )
    return small


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_runs_off_the_side(open_page: Opened, language: str) -> None:
    """No horizontal scrolling, down to the narrowest phone, with everything open."""
    page = full_page(open_page, language)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        expect(page.locator("#chart > svg")).to_have_js_property("clientWidth", drawn_width(page))
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def drawn_width(page: Page) -> int:
    """How wide the chart's place is now."""
    width: int = page.evaluate("document.getElementById('chart').clientWidth")
    return width


def test_no_text_is_smaller_than_16_px(open_page: Opened) -> None:
    """Figures of the chart and hints included: they are read in the sun."""
    page = full_page(open_page, "en")
    small = page.evaluate(
        """() => [...document.querySelectorAll("body *")]
        .filter((one) => [...one.childNodes].some(
            (node) => node.nodeType === 3 && node.data.trim()))
        .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 16)
        .map((one) => one.outerHTML)"""
    )
    assert small == []


def test_the_chart_has_a_text_of_its_own(open_page: Opened) -> None:
    """Who cannot see the chart hears its conditions and both edges, and finds a table."""
    page = full_page(open_page, "en")
    expect(page.get_by_role("img", name="Where the seam is sound")).to_have_count(1)
    described = page.locator("#chart-description")
    expect(described).to_have_text(re.compile(r"At 10 ft/min.* Bottom: .*°F.* Top: .*°F"))
    expect(page.locator("#chart-table table").first.locator("tbody tr")).to_have_count(5)


def test_a_turned_phone_gets_a_chart_of_its_width(open_page: Opened) -> None:
    """The chart is drawn for the width there is, so its figures keep their size."""
    page = full_page(open_page, "en")
    page.set_viewport_size({"width": 740, "height": 360})
    expect(page.locator("#chart > svg")).to_have_attribute("width", "716")  # less two margins
    assert page.evaluate("document.documentElement.scrollWidth") <= 740
