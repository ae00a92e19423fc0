"""What stands above the numbers of a force gauge file."""

from __future__ import annotations

import pytest

from lapwright.errors import LapwrightError
from lapwright.readings.peelheads import (
    Column,
    about_of,
    figure,
    header_of,
    rate_of,
    stated_columns,
    units_of,
    width_of,
)


@pytest.mark.parametrize(
    "cells",
    [
        ["Extension (mm)", "Load (N)"],
        ["Travel [mm]", "Force, N"],
        ["displacement_mm", "force_n"],
        ["Carrera mm", "Fuerza N"],
        ["DESPLAZAMIENTO (mm)", "carga [N]"],
    ],
)
def test_headers_in_many_hands(cells: list[str]) -> None:
    """Quantity and unit are found whatever brackets, language and capitals."""
    assert header_of(cells) == (Column("travel", "mm"), Column("force", "n"))


def test_columns_of_no_use_are_passed_over() -> None:
    """Stress and cycle stand in many files and say nothing here."""
    found = header_of(["Cycle", "Time (s)", "Extension (in)", "Load (lbf)", "Stress (MPa)"])
    assert [column.quantity for column in found] == ["skip", "clock", "travel", "force", "skip"]


def test_one_word_is_no_header() -> None:
    """A title that holds the word force names no columns."""
    assert header_of(["Peel force of seam A-S017"]) == ()
    assert header_of(["1.0", "2.0"]) == ()


def test_units_may_stand_in_the_line_below() -> None:
    """Each unit joins the column above it; alone they name the columns."""
    header = header_of(["Time", "Extension", "Load"])
    assert [column.unit for column in units_of(["s", "mm", "lbf"], header)] == ["s", "mm", "lbf"]
    assert [column.quantity for column in units_of(["(mm)", "(N)"], ())] == ["travel", "force"]
    assert units_of(["1", "2"], header) == ()
    assert units_of(["", ""], header) == ()


def test_a_unit_under_the_wrong_quantity_does_not_count() -> None:
    """Millimetres below force leave the force unclear."""
    (_, force) = units_of(["mm", "mm"], header_of(["Extension", "Load"]))
    assert not force.is_clear


def test_stated_columns_are_units_in_order() -> None:
    """Any other sign is refused with those that are known."""
    assert stated_columns(["in", "lbf"]) == (Column("travel", "in"), Column("force", "lbf"))
    with pytest.raises(LapwrightError, match="peel_unit_unknown"):
        stated_columns(["mm", "psi"])


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (["Width: 25 mm"], ("width", "25 mm")),
        (["Ancho", "25,4", "mm"], ("width", "25,4 mm")),
        (["Rate = 10 in/min"], ("rate", "10 in/min")),
        (["Specimen 3"], ("strip", "3")),
        (["Tira", "A-3", ""], ("strip", "A-3")),
        (["Pull", "full"], ("grade", "full")),
        (["Operator", "Ana"], None),
        (["Strip", "Extension (mm)", "Force (N)"], None),
        (["1.0", "2.0"], None),
    ],
)
def test_lines_about_the_pull(cells: list[str], said: tuple[str, str] | None) -> None:
    """Width, rate, strip and pull grade are heard, a header or another remark is not."""
    assert about_of(cells) == said


def test_widths_and_rates_need_their_unit() -> None:
    """25 mm is 25 mm, a bare 25 is nothing."""
    assert width_of("1 in") == pytest.approx(0.0254)
    assert width_of("25,4 mm") == pytest.approx(0.0254)
    assert width_of("25") is None
    assert rate_of("10 in/min") == pytest.approx(0.254 / 60)
    assert rate_of("254 mm/min") == pytest.approx(0.254 / 60)
    assert rate_of("254") is None


@pytest.mark.parametrize("cell", ["", "abc", "1,234.5", "nan", "inf", "1e20", "12 N"])
def test_what_is_no_number(cell: str) -> None:
    """Marks for thousands, units and what is not finite are not read as numbers."""
    assert figure(cell) is None
