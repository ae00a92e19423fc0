"""What somebody sees: causes and what to do, without a log, without a signal, and with both."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone

from lapwright.job.symptoms import SYMPTOMS

Opened = Callable[..., Phone]


@pytest.mark.parametrize("crewed", ["none"], indirect=True)
def test_a_symptom_is_answered_without_job_log_or_signal(phone: Opened, crewed: Any) -> None:
    """Every symptom is there; one tap says what to do and the causes in the table's order."""
    tom = phone(language="es")
    tom.page.evaluate("navigator.serviceWorker.ready.then(() => true)")  # the shell is on the phone
    crewed.kill()
    tom.open("#/map/symptom")
    expect(tom.page.locator(".kit-rows button")).to_have_count(len(SYMPTOMS))
    tom.page.locator(".kit-rows button", has_text="Surco").click()
    tom.until("map/symptom/groove")
    expect(tom.page.locator(".do")).to_contain_text("Alin")
    expect(tom.page.locator(".causes li")).to_have_count(1)
    expect(tom.page.locator("main")).to_contain_text(tom.words["symptom.no_record"])


def test_what_the_record_speaks_of_comes_first(roof: Opened) -> None:
    """A cold strip in a cut puts "peels clean" above the others, with its clue beside it."""
    tom = roof()
    tom.open("#/map/symptom")
    spoken = tom.page.locator(f".kit-rows[aria-label='{tom.words['symptom.spoken']}'] button")
    expect(spoken.first).to_contain_text("Peels clean and glossy")
    expect(spoken.first).to_contain_text("strips graded: cold")
    spoken.filter(has_text="Brown, smoke").click()
    tom.until("map/symptom/brown_smoke")
    # One test weld showed glaze: of the causes, "too hot" is in the record and leads.
    first = tom.page.locator(".causes li").first
    expect(first).to_contain_text("too hot")
    expect(first).to_contain_text(tom.words["symptom.in_record"])


def test_a_symptom_asks_for_a_test_weld(roof: Opened) -> None:
    """Noted once, it is an event of the machine at hand, and the run screen asks for a test."""
    tom = roof()
    tom.page.evaluate(
        """async () => {
            const { choose, record } = await import('/field/app.js');
            choose({ machine: record.value.all('machine')[0].id,
                operator: record.value.all('person')[0].id });
        }"""
    )
    tom.open("#/map/symptom/groove")
    tom.press("symptom.stop")
    tom.until("run")
    event = tom.facts()[-1]
    assert (event["kind"], event["body"]["trigger"], event["body"]["answer"]) == (
        "event", "symptom", "happened",
    )  # fmt: skip
