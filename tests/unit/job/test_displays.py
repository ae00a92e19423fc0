"""Readings of each display, from the facts: which count, and which belong together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from tests import cast

from lapwright.job.displays import LEAST_SPREAD, Series, displays, moved
from lapwright.proof.displays import judge_display
from lapwright.record.fact import Fact
from lapwright.units import to_si

RUN_TYPED: dict[str, Any] = {"speed": "10 ft_min displayed"}


def found(*facts: Fact | Sequence[Fact], machine: str | None = None) -> dict[tuple[str, str], Any]:
    """The series of the cast's record by machine and quantity, in order."""
    series: dict[tuple[str, str], list[Series]] = {}
    for each in displays([cast.record(cast.SETUP, *facts)], machine=machine):
        series.setdefault((each.machine, each.quantity), []).append(each)
    return series


def read(
    at: str, shown: str, measured: str | None = None, *, day: str = cast.DAY, **more: Any
) -> list[Fact]:
    """A test weld whose display showed one air while another was measured."""
    measures = {} if measured is None else {"measured_air": measured}
    return cast.welded(at, shown, "f", at=at, day=day, **measures, **more)


def offs(series: Series) -> list[float]:
    """Measured minus displayed of each reading. [K]"""
    return [reading.off for reading in series.display.readings]


def test_a_test_weld_is_a_reading_of_air_and_of_speed() -> None:
    """860 F shown and 842 F measured is 10 K too little; 10 ft/min shown, 9 measured, likewise."""
    series = found(read("07:05", "860 f", "842 f measured", measured_speed="9 ft_min measured"))
    (air,), (speed,) = series["3", "air"], series["3", "speed"]
    (one,) = air.display.readings
    assert (one.shown, one.off) == pytest.approx((to_si(860, "f"), -10.0))
    assert one.at.isoformat() == cast.time("07:05")
    assert offs(speed) == pytest.approx([-to_si(1, "ft_min")])
    assert (air.type, air.began, air.is_current) == ("automatic", "first", True)


def test_the_end_of_a_run_is_a_reading_of_the_speed() -> None:
    """What the run was set to against what was measured over its whole length."""
    run = cast.fact("run", at="08:00", seam="A-S001", station="0 ft", **RUN_TYPED, **cast.CHAIN)
    end = cast.fact("run_end", at="08:10", run=run, station="90 ft", speed="9 ft_min measured",
                    reason="track")  # fmt: skip
    (speed,) = found(run, end)["3", "speed"]
    assert offs(speed) == pytest.approx([-to_si(1, "ft_min")])
    assert speed.display.readings[0].at.isoformat() == cast.time("08:10")
    (none,) = found(end)["3", "speed"]  # the run has not arrived
    assert none.display.readings == ()


@pytest.mark.parametrize(
    ("shown", "measured", "count"),
    [
        ("860 f set", "850 f measured", 1),
        ("860 f displayed", "850 f measured", 1),
        ("454 c", "850 f measured", 1),
        ("860 f measured", "850 f measured", 0),
        ("860 f set", "850 f displayed", 0),
        ("860 f set", None, 0),
        ("6 dial", "850 f measured", 0),
        ("8600 f", "850 f measured", 0),
        ("860 f", "60 f measured", 0),
    ],
)
def test_a_reading_needs_a_display_and_an_instrument(
    shown: str, measured: str | None, count: int
) -> None:
    """Shown must be set or displayed, measured must be measured, both possible values."""
    (air,) = found(read("07:05", shown, measured))["3", "air"]
    assert len(air.display.readings) == count


def test_every_machine_has_the_displays_it_has() -> None:
    """Each machine shows air, a welder its speed too, a dial no speed; known or not, by number."""
    dial = cast.fact("machine", number="12", drive="dial")
    named = cast.fact("machine", number="B", type="hand")
    assert list(found(dial, named)) == [
        ("3", "air"), ("3", "speed"), ("4", "air"), ("4", "speed"), ("7", "air"), ("12", "air"),
        ("B", "air"),
    ]  # fmt: skip
    assert list(found(machine="4")) == [("4", "air"), ("4", "speed")]
    for series in found().values():
        (one,) = series
        assert (one.display.readings, one.display.offset, one.is_current) == ((), None, True)


def test_readings_go_to_their_machine() -> None:
    """A machine is its number and type; the weld of one that never arrived goes nowhere."""
    hand = cast.fact("machine", number="3", type="hand")
    gone = cast.fact("machine", number="99")
    series = displays(
        [
            cast.record(
                cast.SETUP,
                hand,
                read("07:05", "860 f", "850 f measured"),
                read("07:15", "860 f", "851 f measured", machine=cast.OTHER_MACHINE),
                read("07:25", "860 f", "852 f measured", machine=hand),
                read("07:35", "860 f", "853 f measured", machine=gone),
            )
        ]
    )
    by = {(each.machine, each.type): offs(each) for each in series if each.quantity == "air"}
    assert by["3", "automatic"] == pytest.approx([-10 / 1.8])
    assert by["3", "hand"] == pytest.approx([-8 / 1.8])
    assert by["4", "automatic"] == pytest.approx([-9 / 1.8])


def test_a_machine_is_one_on_every_job() -> None:
    """Readings of two jobs make one series, in order of time."""
    other = cast.fact("machine", at="06:40", day="2026-05-01", number="3")
    first = read("07:05", "860 f", "842 f measured", day="2026-05-01", machine=other)
    records = [
        cast.record(cast.SETUP, read("07:05", "860 f", "851 f measured")),
        cast.record([other, *first]),
    ]
    (air,) = [each for each in displays(records, machine="3") if each.quantity == "air"]
    assert offs(air) == pytest.approx([-10.0, -5.0])


def test_a_calibration_begins_new_series() -> None:
    """From the day on that a machine was calibrated its air and its speed are read anew."""
    new = cast.fact("machine", at="06:30", day="2026-05-08", number="3", calibrated="2026-05-06")
    more = {"measured_speed": "9 ft_min measured"}
    readings = [
        fact
        for day in ("2026-05-04", "2026-05-05", "2026-05-06", "2026-05-07")
        for fact in read("20:05", "860 f", "842 f measured", day=day, **more)
    ]
    series = found(readings, new)  # 20:05 on the roof is tomorrow in Greenwich
    for quantity in ("air", "speed"):
        before, after = series["3", quantity]
        assert (before.began, after.began) == ("first", "calibrated")
        assert (before.is_current, after.is_current) == (False, True)
        days = [[reading.at.day for reading in each.display.readings] for each in (before, after)]
        assert days == [[4, 5], [6, 7]]


def test_a_calibration_of_today_begins_when_it_was_told() -> None:
    """Recorded on the day itself, what was read before that hour belongs to the old series."""
    new = cast.fact("machine", at="12:00", number="3", calibrated=cast.DAY)
    readings = [read("07:05", "860 f", "842 f measured"), read("13:05", "860 f", "860 f measured")]
    again = cast.fact("machine", at="06:30", day="2026-05-05", number="3", calibrated=cast.DAY)
    before, after = found(*readings, new, again)["3", "air"]
    assert (offs(before), offs(after)) == (pytest.approx([-10.0]), pytest.approx([0.0]))
    assert (before.began, after.began) == ("first", "calibrated")


def test_a_calibration_told_twice_is_one() -> None:
    """The same day in the set-up of every morning begins one series, and none of other machines."""
    told = [
        cast.fact("machine", at="06:30", day=day, number="3", calibrated="2026-05-01")
        for day in ("2026-05-04", "2026-05-05", "2026-05-06")
    ]
    readings = [
        read("07:05", "860 f", "842 f measured", day=day) for day in ("2026-05-04", "2026-05-06")
    ]
    series = found(*told, *readings)
    (air,) = series["3", "air"]  # nothing was read before: there is no older series
    assert (air.began, len(offs(air))) == ("calibrated", 2)
    assert [each.began for each in series["4", "air"]] == ["first"]


def setup(at: str, width: str | None, machine: Fact = cast.MACHINE) -> Fact:
    """A nozzle set-up."""
    return cast.fact("nozzle_setup", at=at, machine=machine, nozzle_width=width)


def test_another_nozzle_begins_a_new_series_of_the_air() -> None:
    """A wider nozzle parts the readings of the air and leaves those of the speed together."""
    more = {"measured_speed": "9 ft_min measured"}
    readings = [read(at, "860 f", "842 f measured", **more) for at in ("07:05", "08:00", "11:05")]
    series = found(*readings, setup("08:00", "40 mm"), setup("10:00", "1.5 in"))
    assert [each.began for each in series["3", "air"]] == ["first", "nozzle", "nozzle"]
    assert [each.is_current for each in series["3", "air"]] == [False, False, True]
    assert [len(offs(each)) for each in series["3", "air"]] == [1, 1, 1]
    assert [len(offs(each)) for each in series["3", "speed"]] == [3]


def test_the_same_nozzle_or_one_nobody_measured_begins_nothing() -> None:
    """Told anew, in other units, without a width or of another machine: nothing changes."""
    readings = [read(at, "860 f", "842 f measured") for at in ("07:05", "11:05")]
    more = [
        setup("08:00", "38.1 mm"),
        setup("08:10", None),
        setup("08:20", "1.5 in"),
        setup("08:30", "40 mm", cast.GUN),
        setup("08:40", "40 mm", cast.fact("machine", number="99")),
    ]
    (air,) = found(*readings, *more)["3", "air"]
    assert (air.began, len(offs(air))) == ("first", 2)


def test_a_break_without_readings_around_it_leaves_no_empty_series() -> None:
    """Only the last series may be empty: a display calibrated just now has nothing to show yet."""
    day = read("07:05", "860 f", "842 f measured")
    calibrated = cast.fact("machine", at="09:00", number="3", calibrated=cast.DAY)
    nozzles = [setup("08:00", "40 mm"), setup("08:10", "60 mm")]
    series = found(day, nozzles, calibrated)["3", "air"]
    assert [(each.began, len(offs(each))) for each in series] == [("first", 1), ("calibrated", 0)]


def test_each_series_is_judged_by_the_step_of_its_instruments() -> None:
    """Air is believed to 1 F, speed to 0.1 ft/min: what proof says of the same readings."""
    readings = [
        read(cast.later("07:05", 30 * n), "860 f", "842 f measured",
             measured_speed="9.5 ft_min measured")
        for n in range(6)
    ]  # fmt: skip
    series = found(*readings)
    for quantity, least in (("air", to_si(33, "f") - to_si(32, "f")), ("speed", 0.000508)):
        (one,) = series["3", quantity]
        assert LEAST_SPREAD[one.quantity] == pytest.approx(least)
        assert one.display == judge_display(one.display.readings, least=LEAST_SPREAD[one.quantity])
        assert one.display.offset is not None


def test_only_todays_displays_are_told_to_have_moved() -> None:
    """A display that alarms is named until a calibration ends its series."""
    jumps = [(860, 858), (860, 859), (860, 858), (860, 859), (860, 858), (860, 790), (860, 791)]
    readings = [
        read(cast.later("07:05", 10 * n), f"{shown} f", f"{measured} f measured")
        for n, (shown, measured) in enumerate(jumps)
    ]
    record = cast.record(cast.SETUP, *readings)
    (out,) = moved(displays([record]))
    assert (out.machine, out.quantity) == ("3", "air")
    assert out.display.moved is not None
    assert out.display.moved.measured == pytest.approx(to_si(790, "f"))
    calibrated = cast.fact("machine", at="12:00", number="3", calibrated=cast.DAY)
    after = displays([cast.record(cast.SETUP, *readings, calibrated)])
    assert moved(after) == ()
    assert any(each.display.moved is not None for each in after)
