"""The public forecast against a server of our own that fails in every way we could think of."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from lapwright.errors import LapwrightError
from lapwright.readings import forecast
from lapwright.readings.forecast import fetch_forecast
from lapwright.readings.hours import Weather

NOW = datetime(2026, 7, 1, 13, 10, tzinfo=UTC)
PLACE = (39.74, -105.18)


def period(start: str) -> dict[str, Any]:
    """One hour as the service writes it; all values invented."""
    return {
        "number": 1,
        "startTime": start,
        "temperature": 68,
        "temperatureUnit": "F",
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 20},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 10.0},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 53},
        "windSpeed": "10 mph",
        "shortForecast": "Mostly Sunny",
    }


def answer(*periods: Any) -> dict[str, Any]:
    """An hourly answer with these periods, or with three good ones."""
    hours = [period(f"2026-07-01T{hour:02}:00:00-06:00") for hour in (7, 8, 9)]
    return {
        "type": "Feature",
        "properties": {
            "updateTime": "2026-07-01T12:00:00+00:00",
            "periods": list(periods) or hours,
        },
    }


Reply = Callable[[BaseHTTPRequestHandler], None]


def says(status: int, body: bytes) -> Reply:
    """Answer with a whole body."""

    def reply(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(status)
        handler.send_header("Content-Length", str(len(body)))
        handler.end_headers()
        handler.wfile.write(body)

    return reply


@dataclass
class Server:
    """A weather service that answers as it is told, one reply after the other."""

    address: str = ""
    hourly: list[Reply] = field(default_factory=list)
    point: list[Reply] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    released: Event = field(default_factory=Event)

    def answer(self, handler: BaseHTTPRequestHandler) -> None:
        """Give the next reply of the queue; the last one stays."""
        self.asked.append(handler.path)
        queue = self.point if handler.path.startswith("/points/") else self.hourly
        (queue.pop(0) if len(queue) > 1 else queue[0])(handler)


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    """Run the service on this machine, with the patience of a test."""
    told = Server()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            told.answer(self)

        def log_message(self, *args: Any) -> None:
            pass

    http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    http.daemon_threads = True
    thread = Thread(target=http.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    told.address = f"http://127.0.0.1:{http.server_address[1]}"
    told.point = [says(200, _point(f"{told.address}/gridpoints/XXX/1,2/forecast/hourly"))]
    told.hourly = [says(200, json.dumps(answer()).encode())]
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")
    monkeypatch.setattr(forecast, "PAUSE", 0.0)
    monkeypatch.setattr(forecast, "PATIENCE", 0.3)
    yield told
    told.released.set()
    http.shutdown()
    thread.join()
    http.server_close()


def _point(address: str) -> bytes:
    return json.dumps({"properties": {"forecastHourly": address}}).encode()


def hangs(server: Server) -> Reply:
    """Take the question and say nothing."""
    return lambda _: server.released.wait(20) and None


def drips(server: Server) -> Reply:
    """Send a blank now and then for a long time, always within the patience between bytes."""

    def reply(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.end_headers()
        for _ in range(100):
            if server.released.wait(0.05):
                return
            handler.wfile.write(b" ")
            handler.wfile.flush()

    return reply


def breaks_off(handler: BaseHTTPRequestHandler) -> None:
    """Promise more than is sent."""
    handler.send_response(200)
    handler.send_header("Content-Length", "5000")
    handler.end_headers()
    handler.wfile.write(json.dumps(answer()).encode()[:200])
    handler.close_connection = True


def floods(handler: BaseHTTPRequestHandler) -> None:
    """Send a good forecast and then far more than any forecast has."""
    handler.send_response(200)
    handler.end_headers()
    try:
        handler.wfile.write(json.dumps(answer()).encode())
        for _ in range(200):
            handler.wfile.write(b" " * 100_000)
    except ConnectionError:
        pass  # the asker has had enough, as it should


def _fetch(server: Server, cache: Path, now: datetime = NOW) -> Weather:
    return fetch_forecast(PLACE, now=now, cache=cache, service=server.address)


def test_it_works(server: Server, tmp_path: Path) -> None:
    """Two questions give hours in SI, from the running hour on, without a caution."""
    weather = _fetch(server, tmp_path / "cache")
    assert [hour.at.astimezone(UTC).hour for hour in weather.hours] == [13, 14, 15]
    first = weather.hours[0]
    assert first.air == pytest.approx(293.15)
    assert first.dew_point == pytest.approx(283.15)
    assert first.wind == pytest.approx(4.4704)
    assert (first.cloud, first.rain) == (0.2, pytest.approx(0.2))
    assert (weather.source, weather.place, weather.cautions) == ("service", PLACE, ())
    assert weather.issued == datetime(2026, 7, 1, 12, tzinfo=UTC)
    assert server.asked == ["/points/39.74,-105.18", "/gridpoints/XXX/1,2/forecast/hourly"]


def test_it_asks_once_more_after_a_passing_fault(server: Server, tmp_path: Path) -> None:
    """One failure of the service costs nothing."""
    for fault in (says(500, b""), says(503, b"{}"), breaks_off, hangs(server), says(200, b"<p>")):
        server.hourly.insert(0, fault)
        assert _fetch(server, tmp_path).cautions == ()


FAULTS: list[tuple[str, Callable[[Server], Reply], str]] = [
    ("500", lambda _: says(500, b""), "forecast_status"),
    ("403", lambda _: says(403, b""), "forecast_status"),
    ("404", lambda _: says(404, b"{}"), "forecast_not_covered"),
    ("page", lambda _: says(200, b"<html>sign in</html>"), "forecast_odd"),
    ("list", lambda _: says(200, b"[]"), "forecast_odd"),
    ("nested", lambda _: says(200, b"[" * 100_000), "forecast_odd"),
    ("latin", lambda _: says(200, b'{"a": "\xe9"}'), "forecast_odd"),
    ("empty", lambda _: says(200, b""), "forecast_odd"),
    ("no hours", lambda _: says(200, json.dumps(answer({})).encode()), "time_unreadable"),
    ("cut", lambda _: breaks_off, "forecast_no_connection"),
    ("flood", lambda _: floods, "forecast_odd"),
    ("hang", hangs, "forecast_timeout"),
    ("drip", drips, "forecast_timeout"),
]


@pytest.mark.parametrize(("fault", "code"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS])
def test_lasting_fault_is_named_and_the_kept_answer_used(
    server: Server,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    fault: Callable[[Server], Reply],
    code: str,
) -> None:
    """Without a kept answer a fault is an error; with one its hours come with their age."""
    monkeypatch.setattr(forecast, "LONGEST", 1.0)
    good = list(server.hourly)
    server.hourly[:] = [fault(server)]
    with pytest.raises(LapwrightError) as error:
        _fetch(server, tmp_path)
    assert error.value.code == code

    server.hourly[:] = good
    fresh = _fetch(server, tmp_path)
    server.hourly[:] = [fault(server)]
    kept = _fetch(server, tmp_path, now=NOW + timedelta(hours=1))
    assert kept.hours == fresh.hours[1:]  # the first hour has ended meanwhile
    assert kept.cautions[0].code == "forecast_kept"
    assert kept.cautions[0].data == {"hours": 1.0, "because": code}


def test_it_needs_no_service_at_all_when_an_answer_is_kept(server: Server, tmp_path: Path) -> None:
    """Without signal the kept answer is used, and nothing else of the cache matters."""
    _fetch(server, tmp_path)
    weather = fetch_forecast(PLACE, now=NOW, cache=tmp_path, service="http://127.0.0.1:9")
    assert weather.cautions[0].data == {"hours": 0.0, "because": "forecast_no_connection"}
    with pytest.raises(LapwrightError) as error:  # another place has no kept answer
        fetch_forecast((40.0, -105.0), now=NOW, cache=tmp_path, service="http://127.0.0.1:9")
    assert error.value.code == "forecast_no_connection"


@pytest.mark.parametrize("content", ["", "{}", "[1]", '{"kept_at": "x", "answer": {}}', "[" * 9999])
def test_spoiled_kept_answer_is_no_answer(server: Server, tmp_path: Path, content: str) -> None:
    """A cache that was cut or written by something else hides no fault and causes none."""
    _fetch(server, tmp_path)
    (kept,) = tmp_path.iterdir()
    kept.write_text(content, encoding="utf-8")
    server.hourly[:] = [says(500, b"")]
    with pytest.raises(LapwrightError) as error:
        _fetch(server, tmp_path)
    assert error.value.code == "forecast_status"


def test_kept_answer_that_has_run_out_is_no_answer(server: Server, tmp_path: Path) -> None:
    """Yesterday's hours are no forecast of today."""
    _fetch(server, tmp_path)
    server.hourly[:] = [says(500, b"")]
    with pytest.raises(LapwrightError) as error:
        _fetch(server, tmp_path, now=NOW + timedelta(days=1))
    assert error.value.code == "forecast_status"


def test_answer_is_used_though_it_cannot_be_kept(server: Server, tmp_path: Path) -> None:
    """A cache folder that cannot be made costs the next answer, not this one."""
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    assert len(_fetch(server, blocked / "cache").hours) == 3


def test_it_is_not_sent_elsewhere(server: Server, tmp_path: Path) -> None:
    """An answer that names an address of another host is odd and is not followed."""
    for address in ("http://127.0.0.1:9/hourly", f"{server.address}.evil/x", "file:///x", ""):
        server.point[:] = [says(200, _point(address))]
        with pytest.raises(LapwrightError) as error:
            _fetch(server, tmp_path)
        assert error.value.code == "forecast_odd"


def test_old_forecast_is_said(server: Server, tmp_path: Path) -> None:
    """A service that repeats yesterday's forecast is not taken for fresh."""
    weather = _fetch(server, tmp_path, now=NOW - timedelta(minutes=10))
    assert weather.cautions == ()
    old = answer()
    old["properties"]["updateTime"] = "2026-06-30T21:00:00+00:00"
    server.hourly[:] = [says(200, json.dumps(old).encode())]
    (caution,) = _fetch(server, tmp_path).cautions
    assert caution.code == "forecast_old"
    assert caution.data == {"hours": 16.2}
