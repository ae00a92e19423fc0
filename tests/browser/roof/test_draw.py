"""A roof typed corner by corner becomes a numbered plan, drawn and kept as a fact."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect
from tests.browser.crew import Phone

from lapwright.readings.lengths import read_length
from lapwright.record.fact import read_fact

Opened = Callable[..., Phone]
pytestmark = pytest.mark.parametrize("crewed", ["none"], indirect=True)


@pytest.fixture
def drawing(phone: Opened) -> Phone:
    """A phone with a new job before the empty drawing."""
    tom = phone()
    tom.new_job("Invented shed")
    tom.open("#/map/plan")
    return tom


def corners(tom: Phone, shape: int, *places: tuple[str, str]) -> None:
    """Type the corners of a shape."""
    for number, place in enumerate(places):
        for axis, text in zip("xy", place, strict=True):
            tom.fill(f"corner-{shape}-{number}-{axis}", text)


def add(tom: Phone, kind: str) -> None:
    """Add a curb, wall, pipe or drain."""
    tom.page.locator("main button", has_text=tom.words[f"draw.{kind}"]).click()


def test_a_typed_roof_becomes_a_plan_on_the_map(drawing: Phone) -> None:
    """120 ft x 80 ft 6 in with 10 ft rolls and a 6 in lap: rows of 9 ft 6 in, 8 side laps."""
    tom = drawing
    corners(tom, 0, ("0", "0"), ("120'", "0"), ("120", "80-6"), ("0", "80' 6\""))
    add(tom, "curb")
    corners(tom, 1, ("30", "33"), ("40", "33"), ("40", "36"), ("30", "36"))
    tom.fill("lap", "6")
    tom.main("draw.plan")
    # By hand: 120 x 80.5 = 9,660 sq ft less 10 x 3 of curb; (80.5 - 10) / 9.5 = 7.4: 9 rows,
    # each two sheets of the 100 ft roll; 8 laps of 120 ft and 9 end laps within the rows. The
    # curb lies between the laps at 28.5 and 38 ft, further than a foot from both: no conflict.
    expect(tom.page.locator("main")).to_contain_text("9,630 sq ft of roof")
    expect(tom.page.locator("main")).to_contain_text("18 sheets and 0 half sheets")
    expect(tom.page.locator("main")).not_to_contain_text(tom.words["draw.conflicts"])
    tom.main("draw.keep")
    tom.until("map")
    (plan,) = [fact for fact in tom.facts() if fact["kind"] == "plan"]
    read_fact(plan)
    side = [seam for seam in plan["body"]["seams"] if seam.get("kind") == "side"]
    assert [seam["id"] for seam in side] == [f"A-S00{n}" for n in range(1, 9)]
    lengths = [sum(end - start for start, end in seam["spans"]) for seam in side]
    assert lengths == pytest.approx([36.576] * 8, abs=1e-3)
    expect(tom.page.locator(".map-view .seam.bare")).to_have_count(1)
    tom.until_sent()


def test_what_cannot_be_laid_out_says_why(drawing: Phone) -> None:
    """A text that is no length, too few corners, a missing lap; then the server's own refusal."""
    tom = drawing
    why = tom.page.locator(".kit-waits")
    expect(why).to_have_text(tom.words["draw.few"])
    corners(tom, 0, ("0", "0"), ("40", "0"), ("0", "forty"), ("40", "40"))
    expect(why).to_have_text('"forty" is no length.')
    tom.fill("corner-0-2-y", "40")
    expect(why).to_have_text(tom.words["draw.lap_first"])
    tom.fill("lap", "6")
    tom.main("draw.plan")
    expect(tom.page.locator(".heed.stop")).to_contain_text("crosses or touches itself")


WRITTEN = [
    "431'", "12'-6 1/2\"", "9 in", "-3 ft 3 in", "2.5 m", "40 mm", "12' 18\"", "7' 3/4\"", "1/0 in",
    "", "x", "12 pies 3 pulg", "'", "3/2 in", "\u22122\u2032 6\u2033", "1 1/2 in",
]  # fmt: skip


def test_lengths_are_read_as_the_server_reads_them(drawing: Phone) -> None:
    """The page and ``readings.lengths`` come to the same metres, or both to none."""
    found: list[Any] = drawing.page.evaluate(
        """async (texts) => {
            const { lengthIn } = await import('/field/roof/lengths.js');
            return texts.map((text) => lengthIn(text, 'us'));
        }""",
        WRITTEN,
    )
    wanted = [read_length(text) for text in WRITTEN]
    assert found == [None if each is None else pytest.approx(each, abs=1e-9) for each in wanted]


# The international foot is 0.3048 m (NIST SP 811, 2008, appendix B); dash and bare number are
# the page's own: feet-inches, and the reader's unit.
@pytest.mark.parametrize(
    ("text", "system", "metres"),
    [
        ("40-6", "us", 12.3444),
        ("40-6 1/2", "us", 12.3571),
        ("40.5", "us", 12.3444),
        ("12,35", "metric", 12.35),
        ("40-6", "metric", None),
        ("40-13", "us", None),
        ("40' 6\"", "metric", 12.3444),
    ],
)
def test_a_dash_and_a_bare_number_are_read(
    drawing: Phone, text: str, system: str, metres: float | None
) -> None:
    """A dash parts feet from inches for who reads feet; a bare number is in the reader's unit."""
    found = drawing.page.evaluate(
        "async (asked) => (await import('/field/roof/lengths.js')).lengthIn(...asked)",
        [text, system],
    )
    assert found == (None if metres is None else pytest.approx(metres, abs=1e-4))
