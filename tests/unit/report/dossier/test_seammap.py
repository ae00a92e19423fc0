"""The seam map: every foot by the worst that is open about it, also without colour."""

from __future__ import annotations

import re

import pytest
from tests import cast
from tests.handed import EN, ES, paper, said, teller, week, week_closed

from lapwright.report.dossier.seammap import GRAVEST_FIRST, seam_map
from lapwright.report.dossier.telling import Teller
from lapwright.report.figures import Reader
from lapwright.report.paper.blocks import Picture


def maps(reader: Reader = EN) -> list[Picture]:
    """The maps of the week."""
    return [
        one for one in seam_map(Teller(week_closed(), reader)).blocks if isinstance(one, Picture)
    ]


def test_each_level_has_its_map() -> None:
    """By the plans of the record, named in the reader's language."""
    levels = {fact["level"] for fact in week() if fact.kind == "plan"}
    assert {one.caption for one in maps()} == {f"level: {level}" for level in levels}
    assert {one.caption for one in maps(ES)} == {f"nivel: {level}" for level in levels}


def test_without_a_plan_it_says_why_there_is_none() -> None:
    """One sentence, no picture; a plan that cannot be drawn is none."""
    bent = cast.fact("plan", at="06:01", area="A", level="main",
                     outline=[[0, 0], ["x", 1], [True, 2]], openings="none",
                     seams=[{"id": "A-S001"}, 3])  # fmt: skip
    for facts in ([cast.JOB_FACT], [cast.JOB_FACT, bent]):
        assert "No roof plan was recorded, so there is no map." in said(seam_map(teller(facts)))


def test_every_state_of_the_week_has_its_line_in_the_legend() -> None:
    """In words below the map, and in what is read aloud."""
    main = next(one for one in maps() if "main" in one.caption)
    for says in ("open defect", "in doubt", "no test weld behind it", "not welded", "not probed"):
        assert says in main.svg
        assert says in main.alt


def test_states_differ_without_colour() -> None:
    """No two lines share widths and dashes, whatever their colours."""
    from lapwright.report.dossier.seammap import _LINE

    looks = {tuple((width, dash) for _, width, dash in _LINE[state]) for state in GRAVEST_FIRST}
    assert len(looks) == len(GRAVEST_FIRST)


@pytest.mark.parametrize(("seam", "length"), [("S001", 8), ("S012", 8)])
def test_seams_are_named_in_letters_that_can_be_read(seam: str, length: int) -> None:
    """At least 8 px of a drawing as wide as the text: 4 pt on paper."""
    main = next(one for one in maps() if "main" in one.caption)
    size = re.search(rf'font-size="([\d.]+)"[^>]*>{seam}<', main.svg)
    assert size is not None
    assert float(size.group(1)) > length


def test_the_map_of_a_name_with_marks_is_still_a_drawing() -> None:
    """An area called ``<b>&`` is text."""
    import xml.etree.ElementTree as ElementTree

    plan = cast.fact("plan", at="06:01", area="<b>&", level="\"'", openings=[], seams=[],
                     outline=[[0, 0], [9, 0], [9, 9]])  # fmt: skip
    told = [
        one for one in seam_map(teller([cast.JOB_FACT, plan])).blocks if isinstance(one, Picture)
    ]
    assert "<b>&" in "".join(ElementTree.fromstring(told[0].svg).itertext())
    assert paper([cast.JOB_FACT, plan]).sections
