"""What the server says of the day on the phone: its triggers, the job's rules, other machines."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import expect
from tests.browser.crew import Phone

from lapwright.cli import main

Opened = Callable[..., Phone]
SPEC = """layer = "specification"
edition = "2026-03"
set_by = "quality lead"
air_moved = { value = 2, unit = "degF change", clause = "3.5.C" }
sun_changed = { value = false, clause = "3.5.D" }
"""
HEARD = """import('/field/app.js').then(({ heard, facts, chosen }) =>
    heard.value?.count === facts.value.size)"""
AS_OF = re.compile(r"As of \d\d:\d\d\.")


def told(phone: Phone) -> None:
    """Wait until the server has judged all that the phone knows."""
    phone.until_sent()
    phone.until_so(HEARD)


def rules(tmp_path: Path, crewed: Any, text: str = SPEC) -> None:
    """The foreman keeps the job's rules on the crew's machine, while it serves."""
    file = tmp_path / "spec.toml"
    file.write_text(text, encoding="utf-8")
    args = ["rules", str(file), "--keep", "--store", str(crewed.database)]
    result = CliRunner().invoke(main, args)
    assert result.exit_code == 0, result.output


@pytest.fixture
def tom(phone: Opened) -> Phone:
    """A phone with its day set up and one test weld passed."""
    tom = phone()
    tom.start_day()
    tom.weld("850", "fff")
    told(tom)
    return tom


def test_the_servers_reason_stands_with_its_time(tom: Phone, crewed: Any, tmp_path: Path) -> None:
    """Five degrees do nothing by default; by the job's clause they ask for a test, and the page
    says figure, clause and when that was worked out, also without a signal and after a reload.
    A weld that passes on the roof ends it there and then."""
    banner = tom.page.locator(".kit-banner")
    tom.conditions(ambient="80", after="run")
    told(tom)
    expect(banner).to_have_count(0)
    rules(tmp_path, crewed)
    expect(banner).to_contain_text("Air warmer by 5 °F (rule: 2 °F) (specification 3.5.C)",
                                   timeout=30_000)  # fmt: skip
    expect(banner).to_contain_text(AS_OF)
    tom.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    tom.until_so("caches.match('/field/main.js').then((found) => Boolean(found))")
    crewed.kill()
    tom.page.reload()
    tom.open("#/run")
    expect(banner).to_contain_text("3.5.C")
    expect(banner).to_contain_text(AS_OF)
    tom.weld("860", "fff")
    tom.open("#/run")
    expect(tom.page.locator("#since")).to_be_visible()
    expect(banner).to_have_count(0)


def test_without_a_signal_the_phone_judges_by_the_jobs_rules(
    tom: Phone, crewed: Any, tmp_path: Path
) -> None:
    """It takes the limits along: its own rule fires at 2 F, and not at all for the sun."""
    rules(tmp_path, crewed)
    tom.until_so("import('/field/app.js').then(({ heard }) => heard.value.rules.off.length === 1)")
    crewed.kill()
    tom.page.reload()
    asked = """import('/field/app.js').then(({ day }) => day.value.due.join())"""
    tom.open("#/run/change")
    tom.pick("change", "sun")
    tom.pick("change-to", "cloud")
    tom.until("run")
    assert tom.page.evaluate(asked) == ""
    tom.conditions(ambient="78", after="run")
    assert tom.page.evaluate(asked) == "air_moved"
    banner = tom.page.locator(".kit-banner")
    expect(banner).to_contain_text(tom.words["trigger.air_moved"])
    expect(banner).not_to_contain_text(AS_OF)


def test_a_rule_that_does_not_count_is_said_on_today(tom: Phone) -> None:
    """Recorded by hand with a rule that no version knows: the page names it."""
    tom.page.evaluate(
        """import('/field/app.js').then(({ put }) => put("rules", { edition: "9",
            clauses: [{ rule: "from_tomorrow", value: 1, layer: "code", clause: "12.1" }] }))"""
    )
    told(tom)
    tom.open("#/today")
    expect(tom.page.locator("main")).to_contain_text("from_tomorrow")
    expect(tom.page.locator("main")).to_contain_text("12.1")


@pytest.mark.parametrize("language", ["en", "es"])
def test_runs_of_other_machines_are_listed(phone: Opened, language: str) -> None:
    """One line each, on a phone of another machine, and gone when the run ends."""
    tom, ines = phone(), phone(language=language)
    tom.start_day()
    tom.open("#/run")
    tom.fill("seam", "A-S003")
    tom.fill("station", "120")
    tom.main("run.start")
    tom.until_sent()
    ines.page.reload()
    ines.open("#/start/people")
    ines.name("operator", "Tom")
    ines.machine("4")
    ines.open("#/run")
    line = ines.page.locator("#others li")
    expect(line).to_have_count(1, timeout=15_000)
    expect(line).to_contain_text("A-S003")
    expect(line).to_contain_text("120 ft")
    expect(line).to_contain_text("3")
    expect(line).to_contain_text("Tom")
    expect(ines.page.locator("#others button")).to_have_count(0)
    expect(tom.page.locator("#others")).to_have_count(0)
    tom.main("run.stop")
    tom.fill("station", "200")
    tom.main("run.stop_keep")
    tom.until_sent()
    expect(line).to_have_count(0, timeout=15_000)
