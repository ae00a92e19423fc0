"""The story of a seam, a doubt with its next cuts, and the punch list, in plain words."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone

Opened = Callable[..., Phone]


def test_a_story_tells_who_with_what_and_what_stands_behind_it(roof: Opened) -> None:
    """Person, machine, set point, test welds with strips, weather, probe, repair: each in words."""
    tom = roof()
    tom.open("#/map/story/A-S002")
    chapter = tom.page.locator(".chapter")
    expect(chapter).to_have_count(1)
    for told in (
        "0 to 180 ft", "Welded 4 May 2026, 08:15 by Tom, machine 3.", "Set: 860 °F, 10 ft/min.",
        "test welds 3, 4, 5, 7", "0 to 40 ft: Probed", "40 to 43 ft: Repaired",
        "Defect 1 at 40 ft: edge void", "Repaired: Patch, Ines, 4 May 2026, 09:30.",
        "Second look by Luz, 4 May 2026, 10:10: closed.", "100 to 180 ft: Proved by test weld",
        "Probed by Luz, 4 May 2026, 09:10: defects found.",
        "Not probed yet.",
    ):  # fmt: skip
        expect(chapter).to_contain_text(told)
    tom.page.locator(".chapter summary").click()
    expect(chapter).to_contain_text("Test weld 4 passed, 07:17, 900 °F. Strips: full, full, full")
    expect(chapter).to_contain_text("air 80 °F, sheet 80 °F, sun, wind light, on foam")


def test_a_story_speaks_spanish_and_metric(roof: Opened) -> None:
    """The same facts in the other language and units: 180 ft are 54.9 m, 860 F are 460 C."""
    tom = roof(language="es")
    tom.page.evaluate("async () => (await import('/field/app.js')).setPrefs({ units: 'metric' })")
    tom.open("#/map/story/A-S002")
    chapter = tom.page.locator(".chapter")
    for told in (
        "0 a 54,9 m", "Soldado 4 may 2026, 08:15 por Tom, máquina 3.", "460 °C, 3,05 m/min",
        "12,2 a 13,1 m: Reparado", "Falta pasar la sonda.",
    ):  # fmt: skip
        expect(chapter).to_contain_text(told)


@pytest.mark.parametrize(
    ("seam", "told"),
    [
        ("A-S004", "No proof: nobody named a set point for this run."),
        ("A-S005", "A test was due since 09:05."),
        ("A-S003", "Still open: not repaired."),
        ("A-S008", "Nobody welded here yet."),
    ],
)
def test_what_is_not_proved_says_why(roof: Opened, seam: str, told: str) -> None:
    """An orphan, a late run, an open defect and a bare seam each give their reason."""
    tom = roof()
    tom.open(f"#/map/story/{seam}")
    expect(tom.page.locator("main")).to_contain_text(told)


def test_a_failed_cut_leads_to_the_next_two(roof: Opened) -> None:
    """The cut from 60 to 61 ft failed: step 10 ft out from both of its ends, to 50 and 71 ft."""
    tom = roof()
    tom.open("#/map/story/A-S006")
    expect(tom.page.locator("main")).to_contain_text("Cut C-1 at 60 ft: failed. Strips: cold.")
    tom.page.get_by_role("link", name=tom.words["story.suspect.why"]).first.click()
    doubt = tom.page.locator(".doubt")
    expect(doubt).to_contain_text("Cut C-1 failed")
    cuts = [line.split(":")[0] for line in doubt.locator(".causes li").all_inner_texts()]
    assert cuts == ["A-S006, 50 ft", "A-S006, 71 ft"]
    # 80 ft of cover strip at $4.50 a ft is the most: 360.
    expect(doubt).to_contain_text("to 360, with 2 to 7 cuts. Cover strip at 4.50 / ft")
    tom.pick("cause", "change")
    expect(doubt.locator(".causes li").first).to_contain_text("half-way back")


def test_the_punch_list_shows_what_closes_each_line(roof: Opened) -> None:
    """An inspector's defect stays open until repaired and looked at again; then it says by whom."""
    tom = roof()
    tom.open("#/map/punch")
    main = tom.page.locator("main")
    expect(main).to_contain_text("1 of 1 still open.")
    expect(main).to_contain_text("No. 2, A-S003: open")
    expect(main).not_to_contain_text("No. 1,")  # the crew's own find
    tom.page.evaluate(
        """async () => {
            const { put, record } = await import('/field/app.js');
            const defect = record.value.latest('defect', { number: '2' }).id;
            const person = (name) => record.value.latest('person', { name }).id;
            const [operator, prober] = [person('Rosa'), person('Luz')];
            const machine = record.value.latest('machine', { type: 'hand' }).id;
            const { id } = await put('repair', { defect, method: 'patch', operator, machine });
            await put('reprobe', { repair: id, prober, result: 'closed' });
        }"""
    )
    expect(main).to_contain_text("0 of 1 still open.")
    expect(main).to_contain_text("Repaired: Patch, Rosa")
    expect(main).to_contain_text("Second look by Luz")
