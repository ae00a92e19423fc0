"""Place -> hourly forecast of the public weather service of the United States.

Two questions: the place gives the address of its grid square, that gives GeoJSON with
one period per hour. A roof has bad signal, so every answer is kept: when the service is
silent, slow or odd, the last kept answer is used and its age is said. Field names and
units are those of the service's published schema of hourly periods (SEEN); what its sky
words mean in tenths of cloud is from memory.
"""

from __future__ import annotations

import contextlib
import json
import re
import time
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lapwright.cautions import Caution
from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.physics.outside import Hour
from lapwright.readings.hours import HOUR, Place, Weather, dew_below, dew_of, gaps, quantity

if TYPE_CHECKING:
    import httpx

SERVICE = "https://api.weather.gov"
PATIENCE = 5.0  # s without a byte, our choice
LONGEST = 20.0  # s for everything together, our choice
PAUSE = 1.0  # s before the one second try; the service is known for passing 500s
MOST_BYTES = 5_000_000  # ten times an honest answer
OLD = timedelta(hours=12)  # a forecast made earlier is said to be old, our choice
_SKY = (  # words of the service -> covered share; the first that fits
    ("mostly sunny", 0.2),
    ("mostly clear", 0.2),
    ("partly", 0.45),
    ("mostly cloudy", 0.75),
    ("cloudy", 1.0),
    ("overcast", 1.0),
    ("sunny", 0.0),
    ("clear", 0.0),
    ("rain", 0.9),
    ("shower", 0.9),
    ("drizzle", 0.9),
    ("thunder", 0.9),
    ("snow", 0.9),
    ("sleet", 0.9),
    ("ice", 0.9),
    ("fog", 1.0),
)
_UNKNOWN_SKY = 0.5
_WIND = re.compile(r"(\d+(?:\.\d+)?)(?:\s*to\s*(\d+(?:\.\d+)?))?\s*(mph|km/h)", re.IGNORECASE)
_UNITS = {
    "F": "f",
    "C": "c",
    "degF": "f",
    "degC": "c",
    "mph": "mph",
    "km/h": "km_h",
    "km_h-1": "km_h",
    "m_s-1": "m_s",
    "percent": "pct",
}


def fetch_forecast(place: Place, *, now: datetime, cache: Path, service: str = SERVICE) -> Weather:
    """Hours from now on, from the service or else from the last answer kept.

    Parameters
    ----------
    place : tuple of float
        Latitude and longitude. [deg]
    now : datetime
        Aware; hours that have ended are left out.
    cache : Path
        Folder for kept answers; made when missing.
    service : str
        Address of the service.

    Returns
    -------
    Weather
        With a caution when the answer is a kept one, old, or partly unreadable.

    Raises
    ------
    LapwrightError
        No answer and none kept that reaches beyond now: ``forecast_timeout``,
        ``forecast_no_connection``, ``forecast_status``, ``forecast_not_covered``,
        ``forecast_odd``, ``forecast_past``, or the first place of a period that cannot be
        understood.
    """
    kept = cache / f"forecast_{place[0]:.4f}_{place[1]:.4f}.json"
    try:
        answer = _ask(place, service=service)
        weather = read_periods(answer, place=place, now=now)
    except LapwrightError as error:
        old = _kept(kept, place=place, now=now)
        if old is None:
            raise
        age, weather = old
        caution = Caution("forecast_kept", {"hours": _hours(age), "because": error.code})
        return replace(weather, cautions=(caution, *weather.cautions))
    with contextlib.suppress(OSError):  # a full disk must not cost the answer
        cache.mkdir(parents=True, exist_ok=True)
        draft = kept.with_suffix(".part")
        draft.write_text(json.dumps({"kept_at": now.isoformat(), "answer": answer}), "utf-8")
        draft.replace(kept)
    if weather.issued is not None and now - weather.issued > OLD:
        caution = Caution("forecast_old", {"hours": _hours(now - weather.issued)})
        return replace(weather, cautions=(caution, *weather.cautions))
    return weather


def read_periods(answer: Any, *, place: Place, now: datetime, file: str = "forecast") -> Weather:
    """Hours of one hourly answer; a period that cannot be understood is left out and counted.

    Raises
    ------
    LapwrightError
        ``forecast_odd``: the answer is not an hourly forecast.
        ``forecast_past``: none of it lies ahead.
    FileUnreadable
        No period can be understood; names the first place.
    """
    try:
        properties = answer["properties"]
        periods = list(properties["periods"])
    except (KeyError, TypeError) as error:
        raise LapwrightError("forecast_odd") from error
    hours: list[Hour] = []
    unreadable: list[FileUnreadable] = []
    strange: list[str] = []
    for row, period in enumerate(periods, start=1):
        try:
            hour, sky_words = _hour(period, file=file, row=row)
            if hours and hour.at <= hours[-1].at:
                raise FileUnreadable(
                    "time_not_later", file=file, row=row, last=hours[-1].at.isoformat()
                )
        except FileUnreadable as error:
            unreadable.append(error)
            continue
        hours.append(hour)
        strange += [sky_words] if sky_words else []
    if unreadable and not hours:
        raise unreadable[0]
    ahead = tuple(hour for hour in hours if hour.at + HOUR > now)
    if not ahead:
        raise LapwrightError("forecast_past")
    cautions = gaps(ahead)
    if unreadable:
        cautions += (Caution("forecast_hours_left_out", {"hours": float(len(unreadable))}),)
    if strange:
        cautions += (Caution("sky_words_unknown", {"words": strange[0]}),)
    return Weather(ahead, "service", place=place, issued=_issued(properties), cautions=cautions)


def _hour(period: Any, *, file: str, row: int) -> tuple[Hour, str | None]:
    """One period, and its sky words if they mean nothing to us."""
    if not isinstance(period, Mapping):
        raise FileUnreadable("blank_cell", file=file, row=row, column="periods")
    start = str(period.get("startTime", ""))
    try:
        at = datetime.fromisoformat(start)
    except ValueError as error:
        raise FileUnreadable(
            "time_unreadable", file=file, row=row, column="startTime", value=start
        ) from error
    if at.tzinfo is None:
        raise FileUnreadable(
            "time_without_offset", file=file, row=row, column="startTime", value=start
        )

    def read(field: str, name: str, unit: str = "") -> float:
        text, unit = _text_and_unit(period.get(field), unit)
        if text and unit not in _UNITS:
            raise FileUnreadable("unit_unknown", file=file, row=row, column=field, value=unit)
        return quantity(
            text, name=name, unit=_UNITS.get(unit, ""), file=file, row=row, column=field
        )

    def has(field: str) -> bool:
        return bool(_text_and_unit(period.get(field), "")[0])

    air = read("temperature", "air", str(period.get("temperatureUnit")))
    if has("dewpoint"):
        dew = read("dewpoint", "dew_point")
        dew = dew_below(air, dew, file=file, row=row, column="dewpoint")
    else:
        dew = dew_of(air, humidity=read("relativeHumidity", "humidity"))
    words = str(period.get("shortForecast") or "")
    cloud = next((share for word, share in _SKY if word in words.lower()), None)
    rain = "probabilityOfPrecipitation"
    hour = Hour(
        at,
        air=air,
        dew_point=dew,
        wind=read("windSpeed", "wind"),
        cloud=_UNKNOWN_SKY if cloud is None else cloud,
        rain=read(rain, "rain") if has(rain) else None,
    )
    return hour, words or "-" if cloud is None else None


def _text_and_unit(value: Any, unit: str) -> tuple[str, str]:
    """Number as text, and its unit: the service writes 52, "5 to 10 mph" or an object."""
    if isinstance(value, Mapping):
        number, unit = value.get("value"), str(value.get("unitCode", "")).rpartition(":")[2]
        return "" if number is None else str(number), unit
    if isinstance(value, str) and (wind := _WIND.fullmatch(value.strip())):
        low, high, unit = wind.groups()
        return str((float(low) + float(high or low)) / 2), unit.lower()
    return "" if value is None else str(value), unit


def _issued(properties: Mapping[str, Any]) -> datetime | None:
    for field in ("updateTime", "generatedAt"):
        with contextlib.suppress(ValueError):
            issued = datetime.fromisoformat(str(properties.get(field, "")))
            if issued.tzinfo is not None:
                return issued
    return None


def _hours(age: timedelta) -> float:
    return round(age / HOUR, 1)


def _kept(kept: Path, *, place: Place, now: datetime) -> tuple[timedelta, Weather] | None:
    """Age and hours of a kept answer; None if there is none that still helps."""
    try:
        note = json.loads(kept.read_text("utf-8"))
        age = now - datetime.fromisoformat(note["kept_at"])
        return age, read_periods(note["answer"], place=place, now=now)
    except (OSError, ValueError, KeyError, TypeError, RecursionError, LapwrightError):
        return None


def _ask(place: Place, *, service: str) -> Any:
    import httpx  # here: it takes a tenth of a second that other commands need not wait for

    until = time.monotonic() + LONGEST
    latitude, longitude = (f"{angle:.4f}".rstrip("0").rstrip(".") for angle in place)
    headers = {"User-Agent": "lapwright weather", "Accept": "application/geo+json"}
    with httpx.Client(headers=headers, timeout=PATIENCE, follow_redirects=True) as client:
        point = _get(client, f"{service}/points/{latitude},{longitude}", until=until)
        try:
            address = str(point["properties"]["forecastHourly"])
        except (KeyError, TypeError) as error:
            raise LapwrightError("forecast_odd") from error
        if not address.startswith(f"{service}/"):  # never sent elsewhere by an answer
            raise LapwrightError("forecast_odd")
        return _get(client, address, until=until)


def _get(client: httpx.Client, url: str, *, until: float) -> Any:
    """Answer of one address, asked a second time when that may help."""
    try:
        return _get_once(client, url, until=until)
    except LapwrightError as error:
        may_pass = error.data.get("status", 500) >= 500
        if not may_pass or time.monotonic() + PAUSE > until:
            raise
    time.sleep(PAUSE)
    return _get_once(client, url, until=until)


def _get_once(client: httpx.Client, url: str, *, until: float) -> Any:
    import httpx

    body = bytearray()
    try:
        with client.stream("GET", url) as response:
            if response.status_code == httpx.codes.NOT_FOUND:
                raise LapwrightError("forecast_not_covered", status=404)
            if response.status_code != httpx.codes.OK:
                raise LapwrightError("forecast_status", status=response.status_code)
            for piece in response.iter_bytes():
                body += piece
                if time.monotonic() > until:  # a drip that never times out by itself
                    raise LapwrightError("forecast_timeout")
                if len(body) > MOST_BYTES:
                    raise LapwrightError("forecast_odd")
    except httpx.TimeoutException as error:
        raise LapwrightError("forecast_timeout") from error
    except (httpx.HTTPError, httpx.InvalidURL) as error:
        raise LapwrightError("forecast_no_connection") from error
    try:
        return json.loads(body)
    except (ValueError, RecursionError) as error:
        raise LapwrightError("forecast_odd") from error
