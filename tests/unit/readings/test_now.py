"""What a person states about this moment, in SI or refused."""

from __future__ import annotations

from typing import Any

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.now import Said
from lapwright.readings.now import STATED, said_from


def test_field_units_become_si() -> None:
    """212 F and 100 % by definition; the international foot is 0.3048 m (NIST SP 811)."""
    us = said_from({"sheet_f": "104", "humidity_percent": 100, "cord_length_ft": "100"})
    metric = said_from({"sheet_c": 40, "humidity_percent": "100", "cord_length_m": 30.48})
    assert us.sheet == pytest.approx(metric.sheet) == pytest.approx(313.15)
    assert us.relative_humidity == metric.relative_humidity == 1.0
    assert us.length == pytest.approx(metric.length) == pytest.approx(30.48)


def test_power_and_time_are_read() -> None:
    """kW, volts, a cord by its size, hours."""
    stated = {"generator_kw": 6.5, "volts": "221", "cord": "2.5 mm2", "since_test_h": 1.5}
    said = said_from(stated)
    assert (said.watts, said.volts, said.since_pass) == (6500.0, 221.0, 5400.0)
    assert said.gauge is not None
    assert said.gauge.area == pytest.approx(2.5e-6)


def test_blank_is_not_said() -> None:
    """None and "" leave it unknown; nothing is assumed."""
    assert said_from({"sheet_f": None, "volts": "", "cord": ""}) == said_from({}) == Said()


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ({"sheets_f": 80}, "unknown_stated"),
        ({"sheet_f": 80, "sheet_c": 27}, "stated_twice"),
        ({"sheet_f": "warm"}, "stated_not_a_number"),
        ({"volts": "many"}, "stated_not_a_number"),
        ({"volts": "nan"}, "out_of_range"),
        ({"cord": "11 AWG"}, "unknown_gauge"),
        ({"humidity_percent": 101}, "out_of_range"),
        ({"humidity_percent": 0}, "out_of_range"),
        ({"since_test_h": -1}, "out_of_range"),
    ],
)
def test_what_cannot_be_meant_is_refused(stated: dict[str, Any], code: str) -> None:
    """With the code that says why."""
    with pytest.raises(LapwrightError) as refused:
        said_from(stated)
    assert refused.value.code == code


def test_a_refused_humidity_is_named_in_its_own_unit() -> None:
    """120 % is refused as 120, not as 1.2."""
    with pytest.raises(LapwrightError) as refused:
        said_from({"humidity_percent": "120"})
    assert refused.value.data["value"] == 120.0


def test_every_name_can_be_stated() -> None:
    """The list of names is the list that is read."""
    values = dict.fromkeys(STATED, 30) | {"cord": "10 AWG"}
    for name, value in values.items():
        assert said_from({name: value}) != Said(), name
