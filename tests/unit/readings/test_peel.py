"""Force gauge files of many kinds, and what of them is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from lapwright.errors import FileUnreadable
from lapwright.proof.peel import PeelTrace
from lapwright.readings.peel import MOST_TRACES, WIDTH, Stated, read_peel, traces_of_text
from lapwright.units import to_si


def read(text: str, *columns: str, **stated: float) -> tuple[PeelTrace, ...]:
    """Traces of a text."""
    return traces_of_text(text, file="a.csv", stated=Stated(columns=columns, **stated))


def refused(text: str, *columns: str) -> FileUnreadable:
    """The refusal of a text."""
    with pytest.raises(FileUnreadable) as caught:
        read(text, *columns)
    return caught.value


def test_header_with_units() -> None:
    """Travel and force are in SI; width is 1 in until somebody says otherwise."""
    (trace,) = read("Extension (in),Load (lbf)\n0,0\n0.5,10\n1,20\n")
    assert trace.travel == pytest.approx((0.0, 0.0127, 0.0254))
    assert trace.force == pytest.approx((0.0, to_si(10, "lbf"), to_si(20, "lbf")))
    assert (trace.width, trace.rate, trace.grade, trace.name) == (WIDTH, None, None, "1")


@pytest.mark.parametrize(("unit", "newton"), [("N", 1.0), ("kN", 1000.0), ("lbf", 4.4482216),
                                              ("kgf", 9.80665), ("gf", 0.00980665)])  # fmt: skip
def test_every_usual_unit_of_force(unit: str, newton: float) -> None:
    """Forces come in newton, pound and kilogram, large and small."""
    (trace,) = read(f"mm,{unit}\n0,0\n1,2\n")
    assert trace.force[1] == pytest.approx(2 * newton)


def test_decimal_comma_and_lines_above() -> None:
    """Semicolons, decimal commas, Spanish words, width, rate and pull grade above the numbers."""
    text = (
        "Ensayo de pelado\nAncho;25,4 mm\nVelocidad;254 mm/min\nProbeta;A-3\n"
        "Resultado;completa\nCarrera (mm);Fuerza (N)\n0,0;0,5\n1,5;100,25\n"
    )
    (trace,) = read(text)
    assert trace.force == pytest.approx((0.5, 100.25))
    assert trace.travel[1] == pytest.approx(0.0015)
    assert (trace.name, trace.grade) == ("A-3", "full")
    assert trace.width == pytest.approx(0.0254)
    assert trace.rate == pytest.approx(0.254 / 60)


def test_quoted_decimal_commas_between_commas() -> None:
    """A comma inside quotes is a decimal mark."""
    (trace,) = read('Extension (mm),Load (N)\n"0,5","1,5"\n"1,0","2,5"\n')
    assert trace.force == pytest.approx((1.5, 2.5))


def test_no_header_at_all_needs_columns() -> None:
    """Bare numbers are read once the person says the units, and not guessed before."""
    bare = "0\t0\n1\t10\n2\t20\n"
    assert read(bare, "mm", "N")[0].force == (0.0, 10.0, 20.0)
    assert refused(bare).code == "peel_no_units"
    assert refused("Extension,Load\n0,0\n1,2\n").code == "peel_no_units"


def test_stated_columns_beat_the_header() -> None:
    """Who says lbf gets lbf, whatever the file calls it; a dash passes a column over."""
    (trace,) = read("No,Extension (mm),Load (N)\n1,0,0\n2,1,10\n", "-", "mm", "lbf")
    assert trace.force[1] == pytest.approx(to_si(10, "lbf"))
    assert trace.travel[1] == pytest.approx(0.001)


def test_time_becomes_travel_by_the_rate() -> None:
    """A gauge with a clock only needs the speed of the jaws, from the file or the person."""
    text = "Time (s),Force (N)\n10,0\n16,50\n"
    assert refused(text).code == "peel_no_rate"
    (trace,) = read(text, rate=0.254 / 60)
    assert trace.travel == pytest.approx((0.0, 0.0254))
    (trace,) = read("Rate: 10 in/min\n" + text)
    assert trace.travel == pytest.approx((0.0, 0.0254))
    assert trace.clock == (10.0, 16.0)


def test_strips_below_each_other() -> None:
    """A column of names, a blank line, or a header again each begin another strip."""
    named = "Strip,mm travel,N force\na,0,1\nb,0,2\na,1,3\nb,1,4\n"
    assert [(each.name, each.force) for each in read(named)] == [("a", (1, 3)), ("b", (2, 4))]
    blank = "mm,N\n0,1\n1,2\n\n0,3\n1,4\n"
    assert [(each.name, each.force) for each in read(blank)] == [("1", (1, 2)), ("2", (3, 4))]
    again = "Specimen 7\nmm,N\n0,1\n1,2\nSpecimen 8\nmm,N\n0,3\n1,4\n"
    assert [(each.name, each.force) for each in read(again)] == [("7", (1, 2)), ("8", (3, 4))]


def test_strips_side_by_side() -> None:
    """Pairs of columns are strips of their own, also of unequal length."""
    text = "Extension (mm),Load (N),Extension (mm),Load (N)\n0,1,0,5\n1,2,1,6\n2,3,,\n"
    assert [each.force for each in read(text)] == [(1, 2, 3), (5, 6)]


def test_a_grade_belongs_to_its_own_strip() -> None:
    """What was seen of one strip is not carried to the next; width and rate are."""
    text = "Width: 25 mm\nPull: cold\nmm,N\n0,1\n1,2\n\n0,3\n1,4\n"
    first, second = read(text)
    assert (first.grade, second.grade) == ("cold", None)
    assert first.width == second.width == pytest.approx(0.025)


def test_what_a_person_states_beats_the_file() -> None:
    """Width and rate of the command line win."""
    (trace,) = read("Width: 25 mm\nmm,N\n0,1\n1,2\n", width=0.05, rate=0.01)
    assert (trace.width, trace.rate) == (0.05, 0.01)


@pytest.mark.parametrize(
    ("text", "code", "row"),
    [
        ("", "peel_no_numbers", None),
        ("Peel test of seam A-S017\n", "peel_no_numbers", None),
        ("Time (s),Extension (mm)\n0,1\n1,2\n", "peel_no_force", None),
        ("mm,N\n0,1\n1,abc\n", "peel_cell", 3),
        ("mm,N\n0,1\n1\n", "peel_cell", 3),
        ("mm;N\n0;1\n1;1.234,5\n", "peel_cell", 3),
        ("Width: 25\nmm,N\n0,1\n1,2\n", "peel_about", 1),
        ("Pull: ful\nmm,N\n0,1\n1,2\n", "peel_about", 1),
        ("Rate: 25 furlongs\nmm,N\n0,1\n1,2\n", "peel_about", 1),
        ("mm,N\n" + "0,1\n1,2\n\n" * (MOST_TRACES + 1), "peel_many", None),
    ],
)
def test_what_cannot_be_meant_is_refused(text: str, code: str, row: int | None) -> None:
    """The refusal names the row as a spreadsheet counts it."""
    error = refused(text)
    assert error.code == code
    assert error.data["row"] == row


def test_bundled_example_is_six_strips() -> None:
    """The invented example: 1 in wide, 10 in/min, about 3.3 in of travel."""
    import lapwright

    traces = read_peel(Path(lapwright.__file__).parent / "examples" / "peel.csv")
    assert [trace.name for trace in traces] == ["1", "2", "3", "4", "5", "6"]
    assert {trace.width for trace in traces} == {0.0254}
    assert traces[0].rate == pytest.approx(to_si(10, "in_min"))
    assert max(traces[0].travel) == pytest.approx(to_si(3.3, "in"))
