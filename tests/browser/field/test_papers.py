"""The papers on Today: a foreman gets them by one tap, in the phone's language; without a signal
the page says why there are none."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone

from lapwright.handover.proving import prove_paper

Opened = Callable[..., Phone]


def got(phone: Phone, key: str) -> bytes:
    """What the browser saves for a link; this one would else show it in a viewer of its own."""
    link = phone.page.locator("a.kit-button", has_text=phone.words[key])
    link.evaluate("link => { link.download = ''; link.removeAttribute('target'); }")
    with phone.page.expect_download() as saved:
        link.click()
    return Path(saved.value.path()).read_bytes()


@pytest.mark.parametrize(("language", "title"), [("en", "Day sheet"), ("es", "Hoja del día")])
def test_a_tap_brings_the_sheet_and_the_close_out(phone: Opened, language: str, title: str) -> None:
    """Both hold the record as the server has it, and are proved."""
    tom = phone(language=language)
    tom.start_day()
    tom.until_sent()
    tom.tab("today")
    sheet, whole = got(tom, "today.paper.day"), got(tom, "today.paper.job")
    for paper in (sheet, whole):
        assert prove_paper(paper, name="paper").is_compared
    assert title.encode("utf-16-be") in sheet or title.encode() in sheet
    assert sheet != whole


def test_without_a_signal_the_page_says_why(phone: Opened, crewed: Any) -> None:
    """A sentence in place of links that would lead nowhere."""
    tom = phone()
    tom.start_day()
    tom.until_sent()
    tom.tab("today")
    expect(tom.page.locator("a.kit-button", has_text=tom.words["today.paper.day"])).to_be_visible()
    crewed.kill()
    tom.page.reload()
    tom.tab("today")
    expect(tom.page.get_by_text(tom.words["today.paper.off"])).to_be_visible(timeout=60_000)
    expect(tom.page.locator("a.kit-button")).to_have_count(0)
