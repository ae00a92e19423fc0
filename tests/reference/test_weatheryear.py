"""EPW and TMY3 against an independent reader, over whole years.

The oracle is pvlib; its two TMY3 years are real ones from the public archive. An EPW
year is written from one of them with the columns of the published data dictionary.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from lapwright.physics.outside import Hour
from lapwright.readings.weather import read_weather

STATIONS = ["703165TY.csv", "723170TYA.CSV"]
HEADER = (
    "LOCATION,Invented,XX,USA,TMY,000000,{latitude},{longitude},{TZ},{altitude}\n"
    "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n"
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\nCOMMENTS 2,\n"
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
)


def _column(hours: tuple[Hour, ...], name: str) -> np.ndarray:
    return np.array([getattr(hour, name) for hour in hours], dtype=float)


def _same(hours: tuple[Hour, ...], oracle: pd.DataFrame, pressure: float) -> None:
    dew = np.minimum(oracle["temp_dew"], oracle["temp_air"])  # ours forgives rounding in fog
    expected = {
        "air": oracle["temp_air"] + 273.15,
        "dew_point": dew + 273.15,
        "wind": oracle["wind_speed"],
        "irradiance": oracle["ghi"],
        "pressure": oracle["pressure" if "pressure" in oracle else "atmospheric_pressure"]
        * pressure,
    }
    for name, values in expected.items():
        assert _column(hours, name) == pytest.approx(values.to_numpy(), abs=1e-6), name


@pytest.mark.parametrize("file", STATIONS)
def test_tmy3_year(file: str) -> None:
    """All 8,760 hours of a public typical year are read as the oracle reads them."""
    path = Path(pvlib.__file__).parent / "data" / file
    oracle, site = pvlib.iotools.read_tmy3(path, coerce_year=2001, map_variables=True)
    weather = read_weather(path)
    assert weather.place == (site["latitude"], site["longitude"])
    _same(weather.hours, oracle, 100.0)
    ends = oracle.index - pd.Timedelta(hours=1)  # the oracle names the end of the hour
    starts = [hour.at for hour in weather.hours]
    assert list(ends.to_pydatetime())[:-1] == starts[:-1]  # its last hour falls into January


def test_epw_year(tmp_path: Path) -> None:
    """All 8,760 hours of an EPW year are read as the oracle reads them."""
    source = Path(pvlib.__file__).parent / "data" / STATIONS[1]
    tmy, site = pvlib.iotools.read_tmy3(source, coerce_year=2001, map_variables=True)
    path = tmp_path / "year.epw"
    starts = tmy.index - pd.Timedelta(hours=1)
    rows = [
        f"2001,{at.month},{at.day},{at.hour + 1},60,?9,{row.temp_air},{row.temp_dew},"
        f"{row.relative_humidity},{row.pressure * 100},0,0,9999,{row.ghi},{row.dni},{row.dhi},"
        f"0,0,0,0,{row.wind_direction},{row.wind_speed},5,5,16,99999,9,"
        f"999999999,15,0.1,0,88,0.2,0,0\n"
        for at, row in zip(starts, tmy.itertuples(), strict=True)
    ]
    path.write_text(HEADER.format(**site) + "".join(rows), encoding="utf-8")
    oracle, oracle_site = pvlib.iotools.read_epw(path)
    weather = read_weather(path)
    assert weather.place == (oracle_site["latitude"], oracle_site["longitude"])
    _same(weather.hours, oracle, 1.0)
    assert list(oracle.index.to_pydatetime()) == [hour.at for hour in weather.hours]
    assert weather.cautions == ()
