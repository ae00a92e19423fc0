"""Counts by group and by day."""

from __future__ import annotations

from pathlib import Path

import pytest

from lapwright.errors import FileUnreadable
from lapwright.readings.tally import read_days, read_groups

HEADER = "day,operator,machine,probed_ft,voids,strips,bad\n"


def _file(folder: Path, text: str) -> Path:
    file = folder / "days.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_day_is_read_in_either_unit(tmp_path: Path) -> None:
    """Feet or metres, comma or semicolon, columns in any order."""
    (day,) = read_days(_file(tmp_path, HEADER + "2026-06-01,Ana,W1,1000,3,6,1\n"))
    assert (day.day, day.operator, day.machine) == ("2026-06-01", "Ana", "W1")
    assert (day.voids, day.bad, day.strips) == (3, 1, 6)
    assert day.probed == pytest.approx(304.8)
    metric = "voids;Day;operator;machine;probed_m;strips;bad\n\n2;1.6.;Ana;;304,8;6;0\n"
    (day,) = read_days(_file(tmp_path, metric))
    assert (day.probed, day.machine, day.voids) == (304.8, "", 2)


@pytest.mark.parametrize(
    ("row", "column"),
    [
        ("d,Ana,W1,1000,x,6,0", "voids"),
        ("d,Ana,W1,1000,1.5,6,0", "voids"),
        ("d,Ana,W1,1000,-1,6,0", "voids"),
        ("d,Ana,W1,-5,1,6,0", "probed"),
        ("d,Ana,W1,1000,1,,0", "strips"),
    ],
)
def test_what_is_no_count_is_refused(tmp_path: Path, row: str, column: str) -> None:
    """Half a void, a negative one and a blank are pointed at by row and column."""
    with pytest.raises(FileUnreadable, match="tally_row") as caught:
        read_days(_file(tmp_path, HEADER + row + "\n"))
    assert (caught.value.data["row"], caught.value.data["column"]) == (2, column)


@pytest.mark.parametrize(
    "header", ["group,taken,bad", "group,taken,bad,length", "group,taken,bad,length_ft,length_m"]
)
def test_columns_must_be_there_once_and_with_their_unit(tmp_path: Path, header: str) -> None:
    """A length without unit, or in two, is not guessed."""
    with pytest.raises(FileUnreadable, match="tally_columns"):
        read_groups(_file(tmp_path, header + "\nA,1,0,10,3\n"))


def test_an_empty_file_holds_no_day(tmp_path: Path) -> None:
    """Without rows there is nothing to count, which the question refuses later."""
    assert read_days(_file(tmp_path, HEADER)) == ()
