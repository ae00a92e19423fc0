"""No signal: nothing typed is lost, and an old answer is never taken for a new one."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

Opened = Callable[..., Page]


def ready_for_loss(page: Page) -> None:
    """Show the example and let the browser keep the page."""
    page.locator("#start button").first.click()
    page.locator("#set-point").wait_for()
    page.evaluate(
        """Promise.race([navigator.serviceWorker.ready, new Promise(
            (_, fail) => setTimeout(() => fail("the page is not kept"), 20000))])"""
    )


def enter_weld(page: Page) -> None:
    """One weld, entered while nobody answers."""
    page.fill("#air", "800")
    for strip in (1, 2, 3):
        page.locator(f"label:has(#strip-{strip}-cold)").click()
    page.locator("label:has(#heat-none)").click()
    page.click("#add")


def test_entries_survive_a_lost_server_and_a_reload(open_page: Opened, site: Any) -> None:
    """Lose the server, enter, reload, get it back: all is there, and then it is counted."""
    page = open_page(width=390, height=844)
    ready_for_loss(page)
    answered = page.text_content("#set-point") or ""
    site.stop()
    enter_weld(page)
    notice = page.locator(".notice")
    expect(notice).to_contain_text(re.compile(r"the answer below is from \d\d:\d\d"))
    expect(notice).to_contain_text("It does not count what you changed since.")
    page.fill("#air", "770")
    page.locator("label:has(#strip-2-partial)").click()
    page.reload()
    expect(page.locator(".weld")).to_have_count(7)
    expect(page.locator("#air")).to_have_value("770")
    expect(page.locator("#strip-2-partial")).to_be_checked()
    expect(page.locator("#set-point")).to_have_text(answered)
    expect(page.locator("#answer")).to_have_class("old")
    expect(page.locator(".next")).to_be_hidden()
    expect(notice).to_contain_text(re.compile(r"from \d\d:\d\d"))
    expect(page.locator("#chart > svg")).to_have_attribute("width", "366")  # 390 less two margins
    bottom = page.inner_text(".edges .bottom")
    site.start()
    page.click("#again")
    expect(notice).to_have_count(0)
    expect(page.locator(".edges .bottom")).not_to_have_text(bottom)
    expect(page.locator("#answer")).not_to_have_class("old")


def test_it_asks_again_by_itself_when_the_signal_returns(open_page: Opened, site: Any) -> None:
    """The browser's own word that it is online is enough; nobody has to tap."""
    page = open_page()
    ready_for_loss(page)
    site.stop()
    enter_weld(page)
    expect(page.locator(".notice")).to_be_visible()
    site.start()
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator(".notice")).to_have_count(0)


def test_an_answer_that_still_holds_is_not_called_old(open_page: Opened, site: Any) -> None:
    """Without a change since, the kept answer is the answer, and only its time is said."""
    page = open_page()
    ready_for_loss(page)
    site.stop()
    page.reload()
    expect(page.locator(".notice")).to_contain_text("the answer below is from")
    expect(page.locator(".notice")).not_to_contain_text("does not count")
    expect(page.locator("#answer")).not_to_have_class("old")


def test_the_language_switches_without_a_connection(open_page: Opened, site: Any) -> None:
    """Both languages are on the phone; the answer keeps its units until there is a new one."""
    page = open_page()
    ready_for_loss(page)
    site.stop()
    page.reload()
    page.locator("label:has(#lang-es)").click()
    page.locator("label:has(#units-metric)").click()
    expect(page.locator("#add")).to_have_text("Agregar soldadura")
    expect(page.locator(".notice")).to_contain_text(re.compile(r"es de las \d\d:\d\d"))
    expect(page.locator("#set-point")).to_contain_text("°F")
    expect(page.locator(".weld").first).to_contain_text("°C")
