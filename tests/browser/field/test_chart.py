"""The chart of air and speed: drawn from the server's definition, only when it is asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import expect
from tests.browser.crew import Phone


def test_the_chart_is_loaded_when_opened_and_says_when_it_cannot(
    phone: Callable[..., Phone], crewed: Any
) -> None:
    """No chart program is fetched before the chart is opened; without a signal the page says so."""
    tom = phone()
    asked: list[str] = []
    tom.page.on("request", lambda request: asked.append(request.url))
    tom.start_day()
    tom.weld("900", "fff")
    tom.until_sent()
    chart = tom.page.locator("details:has(.chart-place)")
    assert not any("/vega/" in url for url in asked)
    chart.locator("summary").click()
    expect(chart.locator(".chart-place svg")).to_be_visible(timeout=30_000)
    assert chart.locator(".chart-place svg path").count() > 20
    assert any("/vega/" in url for url in asked)
    expect(chart.locator("summary")).to_have_text(tom.words["chart.open"])
    expect(chart.locator("a")).to_have_count(0)  # no menu of the chart program's own
    chart.locator("summary").click()
    crewed.kill()
    chart.locator("summary").click()
    expect(chart.locator(".chart-place")).to_have_text(tom.words["chart.no_signal"])
