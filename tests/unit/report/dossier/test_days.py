"""Days: no run, test weld or reading of the record is lost, and none is told twice."""

from __future__ import annotations

import re
from collections import Counter
from itertools import chain as joined

import pytest
from tests import cast
from tests.handed import EN, ES, grids, said, teller, week, week_closed

from lapwright.readings.decided import decided
from lapwright.record.fact import Fact
from lapwright.report.dossier import telling
from lapwright.report.dossier.days import conditions, day_section, days, set_up
from lapwright.report.dossier.telling import Teller
from lapwright.report.dossier.testing import Drawn
from lapwright.report.paper.blocks import Grid, Listed, Picture, Section, Words

NO_PICTURES = Drawn(lambda _: None, 0)


def told(facts: list[Fact]) -> tuple[Section, ...]:
    """The days of some facts."""
    return days(teller(facts), NO_PICTURES)


def rows_of(sections: tuple[Section, ...], caption: str) -> list[tuple[str, ...]]:
    """Rows of every table of one caption, in order."""
    blocks = [one for day in sections for part in (day, *day.sections) for one in part.blocks]
    shown = [one for one in blocks if isinstance(one, Grid) and one.caption == caption]
    return list(joined.from_iterable(grid.rows for grid in shown))


def of_kind(kind: str) -> list[Fact]:
    """The week's facts of a kind."""
    return [fact for fact in week() if fact.kind == kind]


@pytest.mark.parametrize(
    ("kind", "caption"),
    [("run", "Runs on the roof"), ("test_weld", "Test welds"),
     ("decision", "Set points as decided"), ("conditions", "Conditions as read")],
)  # fmt: skip
def test_each_fact_has_its_one_row(kind: str, caption: str) -> None:
    """As many rows as the file of the week has facts of the kind."""
    shown = rows_of(days(Teller(week_closed(), EN), NO_PICTURES), caption)
    assert len(shown) == len(of_kind(kind))


def test_a_run_stands_with_seam_stations_clock_and_why_it_ended() -> None:
    """All of what was typed, read from the facts themselves."""
    ends = {fact["run"]: fact for fact in of_kind("run_end")}
    wanted = Counter()
    for run in of_kind("run"):
        low, high = sorted(float(one["station"]["typed"]) for one in (run, ends[run.id]))
        clocks = f"{run.at[11:16]}–{ends[run.id].at[11:16]}"
        wanted[run["seam"], f"{low:g}–{high:g}\N{NO-BREAK SPACE}ft", clocks] += 1
    shown = rows_of(days(Teller(week_closed(), EN), NO_PICTURES), "Runs on the roof")
    assert Counter(row[:3] for row in shown) == wanted


def test_a_run_against_the_stations_and_one_without_an_end() -> None:
    """Stations stand low to high; an open run says that nobody recorded its end."""
    back = cast.fact("run", at="08:00", seam="A-S001", station="80 ft", decision=None, **cast.CHAIN)
    end = cast.fact("run_end", at="08:09", run=back, station="20 ft")
    still = cast.fact("run", at="09:00", seam="A-S002", station="5 ft", decision=None, **cast.CHAIN)
    first, second = rows_of(told([*cast.SETUP, back, end, still]), "Runs on the roof")
    assert first[1] == "20–80\N{NO-BREAK SPACE}ft"
    assert second[2] == "09:00"
    assert second[-1] == "no end recorded"


def test_a_long_job_lists_each_run_and_reading_inside_the_file(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The very rows that a shorter job has on paper, with their day; the sheet of a day has them
    on paper still."""
    short = days(Teller(week_closed(), EN), NO_PICTURES)
    monkeypatch.setattr(telling, "_MANY", len(of_kind("run")) - 1)
    *parts, last = days(Teller(week_closed(), EN), NO_PICTURES)
    readings, runs = (block.grid for block in last.blocks if isinstance(block, Listed))
    assert [row[1:] for row in readings.rows] == rows_of(short, "Conditions as read")
    assert [row[2:] for row in runs.rows] == rows_of(short, "Runs on the roof")
    assert Counter(row[0] for row in runs.rows) == Counter(fact.day for fact in of_kind("run"))
    assert rows_of(tuple(parts), "Runs on the roof") == []
    assert len(rows_of(tuple(parts), "Test welds")) == len(of_kind("test_weld"))
    (sheet,) = days(Teller(week_closed("2026-05-05"), EN), NO_PICTURES)
    assert rows_of((sheet,), "Runs on the roof")


def test_a_long_job_tells_the_sky_of_a_day_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """From the lowest reading to the highest, and each word once."""
    monkeypatch.setattr(telling, "_MANY", 0)
    run = cast.fact("run", at="08:00", seam="A-S001", station="0 ft", decision=None, **cast.CHAIN)
    skies = [
        cast.fact("conditions", at="07:00", sheet="96 f", ambient="9 c", wind="light"),
        cast.fact("conditions", at="09:00", sheet="104 f", ambient="70 f", wind="strong"),
        cast.fact("conditions", at="11:00", sheet="98 f", ambient="60 f", wind="light"),
    ]
    names = [fact for fact in cast.SETUP if fact.kind != "conditions"]
    (line,) = (text for text in said(told([*names, *skies, run])[0]) if "readings 3" in text)
    line = line.replace("\N{NO-BREAK SPACE}", " ")
    assert "sheet 96 °F to 104 °F" in line
    assert "air on the roof 48 °F to 70 °F" in line  # 9 C is 48.2 F
    assert "wind light, strong" in line


def test_a_day_without_welds_is_told_as_one() -> None:
    """Conditions alone: nothing was welded, and it is not called whole."""
    (day,) = told([*cast.SETUP])
    assert isinstance(day.blocks[0], Words)
    assert "Nothing was welded" in day.blocks[0].text
    assert "All of it" not in day.blocks[0].text


def test_a_day_on_which_only_the_job_was_set_up_is_left_out() -> None:
    """A day of names alone has nothing to tell."""
    assert told([cast.JOB_FACT, *cast.PEOPLE]) == ()


def test_a_chain_without_a_test_weld_says_so() -> None:
    """The stand-in of Thursday."""
    thursday = week_closed("2026-05-07").days[0]
    shown = day_section(Teller(week_closed("2026-05-07"), EN), thursday, NO_PICTURES, most=0)
    part = next(each for each in shown.sections if each.title.startswith("Ines"))
    assert any("No test weld was recorded" in text for text in said(part))


def test_readings_stand_as_read_and_in_the_reader_s_unit() -> None:
    """62 F is 62 F in print, and 17 C for who reads metric: (62 - 32) / 1.8 = 16.7."""
    day = week_closed().days[0]
    (us,) = conditions(Teller(week_closed(), EN), day)
    (metric,) = conditions(Teller(week_closed(), ES), day)
    assert isinstance(us, Grid)
    assert isinstance(metric, Grid)
    assert us.rows[0][2] == "62\N{NO-BREAK SPACE}°F"
    assert metric.rows[0][2] == "17\N{NO-BREAK SPACE}°C"


def test_a_day_without_a_sky_says_so() -> None:
    """Nobody read the weather."""
    run = cast.fact("run", at="08:00", seam="A-S001", station="0 ft", decision=None, **cast.CHAIN)
    facts = [fact for fact in cast.SETUP if fact.kind != "conditions"]
    assert any("No conditions were recorded" in text for text in said(told([*facts, run])[0]))


def test_the_set_up_leaves_out_what_nobody_had_to_say() -> None:
    """Every check that was made stands, in order of time; fields never asked do not."""
    day = week_closed("2026-05-06").days[0]
    (grid,) = set_up(Teller(week_closed("2026-05-06"), EN), day)
    assert isinstance(grid, Grid)
    assert [row[0] for row in grid.rows] == sorted(row[0] for row in grid.rows)
    wednesday = [one for one in (*of_kind("nozzle_setup"), *of_kind("power_setup"))
                 if one.day == "2026-05-06"]  # fmt: skip
    assert len(grid.rows) == len(wednesday)
    assert any("volts under load 204\N{NO-BREAK SPACE}V" in row[2] for row in grid.rows)
    assert not any(re.search(r"–(;|$)", row[2]) for row in grid.rows)


def test_the_newest_days_get_the_pictures() -> None:
    """With room for one window, it is that of the last day."""
    shown = days(Teller(week_closed(), EN), Drawn(decided, 1))
    pictures = [
        day.title
        for day in shown
        for part in day.sections
        for one in part.blocks
        if isinstance(one, Picture)
    ]
    assert pictures == ["Day 2026-05-08"]


def test_each_day_of_a_long_job_has_its_part() -> None:
    """Forty days, forty headings, in order."""
    skies = [cast.fact("conditions", at="07:00", day=f"2026-{month:02}-{day:02}")
             for month in (6, 7) for day in range(1, 21)]  # fmt: skip
    titles = [part.title for part in told([cast.JOB_FACT, *skies])]
    assert titles == [f"Day {fact.day}" for fact in skies]


def test_tables_have_one_cell_for_each_head() -> None:
    """In every table of every day, in both languages."""
    for reader in (EN, ES):
        for part in days(Teller(week_closed(), reader), NO_PICTURES):
            for grid in grids(part).values():
                assert all(len(row) == len(grid.head) for row in grid.rows), grid.caption
