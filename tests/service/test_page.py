"""The page's service: what it serves, what it answers, and the one shape of its refusals."""

from __future__ import annotations

import json
import re
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path
from threading import Thread
from typing import Any

import httpx
import pytest
import uvicorn
from fastapi import FastAPI

from lapwright.web import app as page
from lapwright.web.answers import example_rows
from lapwright.web.limits import MAX_BODY
from lapwright.web.morning import morning_app
from lapwright.web.questions import MAX_ROWS

ROW = {
    "weld": "1",
    "air_f": "860",
    "speed_ft_min": 10,
    "ambient_f": 72,
    "strip": 1,
    "pull": "full",
    "overheat": None,
}
STATIC = sorted(path for path in page.STATIC.iterdir() if path.is_file())


@contextmanager
def served(app: FastAPI) -> Iterator[httpx.Client]:
    """A client of a real server on a port of its own."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        server = uvicorn.Server(uvicorn.Config(app, log_level="critical", lifespan="off"))
        thread = Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        with httpx.Client(base_url=address, timeout=60, trust_env=False) as client:
            yield client
        server.should_exit = True
        thread.join()


@pytest.fixture(scope="module")
def client() -> Iterator[httpx.Client]:
    """The page's service; it keeps nothing, so one serves all tests."""
    with served(morning_app()) as client:
        yield client


def refusal(response: Any) -> dict[str, Any]:
    """The error of a response, after its shape was checked."""
    body = response.json()
    assert list(body) == ["error"]
    assert list(body["error"]) == ["code", "message", "row", "column", "field"]
    assert body["error"]["message"]
    assert "?" not in body["error"]["message"]
    assert response.headers["cache-control"] == "no-store"
    error: dict[str, Any] = body["error"]
    return error


def test_the_page_is_served_under_a_strict_policy(client: httpx.Client) -> None:
    """Nothing but the page's own files may load, and no script or style stands in the page."""
    response = client.get("/")
    assert response.status_code == 200
    policy = response.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "http" not in policy
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\son\w+=|\sstyle=", response.text)


@pytest.mark.parametrize("file", STATIC, ids=lambda path: path.name)
def test_every_file_has_the_type_its_reader_needs(client: httpx.Client, file: Path) -> None:
    """Modules refuse to run under another type."""
    types = {
        ".js": "text/javascript",
        ".css": "text/css",
        ".json": "application/json",
        ".html": "text/html",
        ".svg": "image/svg+xml",
    }
    response = client.get(f"/{file.name}")
    assert response.status_code == 200
    assert response.headers["content-type"].split(";")[0] == types[file.suffix]
    assert response.headers["cache-control"] == "no-cache"
    assert response.headers["x-content-type-options"] == "nosniff"


def test_the_example_is_a_morning_that_gets_an_answer(client: httpx.Client) -> None:
    """Its rows go straight back as a question; the answer carries what the page draws."""
    rows = client.get("/api/example").json()["rows"]
    response = client.post("/api/window", json={"rows": rows})
    answer = response.json()
    assert response.status_code == 200
    assert response.headers["cache-control"] == "no-store"
    assert answer["bottom"]["mid_f"] < answer["set_point"]["air_f"] < answer["top"]["mid_f"]
    curve = answer["curve"]
    assert len(curve["air_f"]) == len(curve["p_sound"]) > 50
    assert curve["air_f"] == sorted(curve["air_f"])
    assert all(0 <= p <= 1 for p in curve["p_sound"])
    assert answer["says"]
    assert answer["next"]["reason"]


def test_units_and_language_reach_the_answer(client: httpx.Client) -> None:
    """Metric figures are the same temperatures; Spanish is another sentence."""
    ask = {"rows": example_rows()}
    us = client.post("/api/window", json=ask).json()
    es = client.post("/api/window", json={**ask, "units": "metric", "lang": "es"}).json()
    celsius = es["set_point"]["air_c"]
    assert celsius * 9 / 5 + 32 == pytest.approx(us["set_point"]["air_f"], abs=0.2)
    assert "air_f" not in es["set_point"]
    assert es["says"] != us["says"]


def test_conditions_stand_in_for_the_first_weld(client: httpx.Client) -> None:
    """Without rows the start says where to weld first."""
    ask = {"rows": [], "start": {"ambient_f": 80, "membrane": "pvc"}}
    answer = client.post("/api/window", json=ask).json()
    assert answer["verdict"] == "no_test_weld"
    assert answer["next"]["done"] is False


def test_this_moment_stands_beside_the_window(client: httpx.Client) -> None:
    """Without a word about now all three rows are not said; with it each has its figure."""
    ask = {"rows": example_rows()}
    silent = client.post("/api/window", json=ask).json()["now"]
    assert {silent[row]["state"] for row in ("power", "dew", "holds")} == {"not_said"}
    now = {"sheet_f": "55", "ambient_f": "72", "humidity_percent": "50", "volts": "180"}
    answer = client.post("/api/window", json={**ask, "now": now}).json()
    assert [answer["now"][row]["state"] for row in ("power", "dew")] == ["stop", "stop"]
    reach = answer["now"]["power"]["max_air_f"]
    assert answer["next"]["air_f"] <= reach
    assert all(point is None or point["air_f"] <= reach for point in answer["policies"].values())


def test_a_slip_about_this_moment_is_refused(client: httpx.Client) -> None:
    """Named in the reader's words and unit, as every refusal."""
    ask = {"rows": example_rows(), "now": {"humidity_percent": "120"}, "lang": "es"}
    response = client.post("/api/window", json=ask)
    assert response.status_code == 422
    assert refusal(response)["message"].startswith("humedad en % es 120:")


def test_a_strip_file_comes_back_as_rows_with_codes(client: httpx.Client) -> None:
    """Spanish grades become codes, figures stay as typed, and the rows can be asked about."""
    content = files("lapwright").joinpath("examples", "manana.csv").read_bytes()
    rows = client.post("/api/rows?name=manana.csv", content=content).json()["rows"]
    assert rows[0]["pull"] == "partial"
    assert rows[0]["overheat"] == "none"
    assert rows[0]["speed_m_min"] == "3,05"
    assert {row["pull"] for row in rows} == {"partial", "full", "invalid"}


def test_a_strip_file_is_refused_at_its_place(client: httpx.Client) -> None:
    """A wrong cell is named by row and column, in the reader's language."""
    content = b"weld,air_f,speed_ft_min,ambient_f,strip,pull,overheat\n1,860,10,80,1,torn,none\n"
    path = "/api/rows?name=monday.csv"
    english = client.post(path, content=content)
    spanish = client.post(path, content=content, headers={"Accept-Language": "es-US"})
    assert english.status_code == spanish.status_code == 422
    error = refusal(english)
    assert (error["row"], error["column"]) == (2, "pull")
    assert refusal(spanish)["message"] != error["message"]


def test_a_bad_cell_is_named(client: httpx.Client) -> None:
    """The core's own refusal travels with row and column, counted from the first row object."""
    rows = [ROW, {**ROW, "strip": 2, "pull": "torn"}]
    response = client.post("/api/window", json={"rows": rows, "lang": "es"})
    error = refusal(response)
    assert response.status_code == 422
    assert (error["row"], error["column"]) == (2, "pull")
    assert "torn" in error["message"]


@pytest.mark.parametrize(
    ("ask", "row", "column"),
    [
        ({"rows": "none"}, None, "rows"),
        ({}, None, "rows"),
        ({"rows": [ROW, ["1", "860"]]}, 2, None),
        ({"rows": [{**ROW, "air_f": {"value": 860}}]}, 1, "air_f"),
        ({"rows": [], "units": "imperial"}, None, "units"),
        ({"rows": [], "sheet": 80}, None, None),
        ({"rows": [], "now": {"sheet_f": [80]}}, None, "now"),
        ({"rows": [ROW] * (MAX_ROWS + 1)}, None, "rows"),
    ],
)
def test_a_misshapen_question_is_refused(
    client: httpx.Client, ask: dict[str, Any], row: int | None, column: str | None
) -> None:
    """A wrong shape is refused in the same words as everything else, with its place if any."""
    response = client.post("/api/window", json=ask)
    error = refusal(response)
    assert response.status_code == 422
    assert (error["code"], error["row"], error["column"]) == ("bad_request", row, column)


@pytest.mark.parametrize("content", [b"", b"{", b"\xff\xfe", b"null"])
def test_what_is_no_json_is_refused(client: httpx.Client, content: bytes) -> None:
    """A body that is no question at all gets the same shape."""
    response = client.post(
        "/api/window", content=content, headers={"Content-Type": "application/json"}
    )
    assert response.status_code == 422
    assert refusal(response)["code"] == "bad_request"


@pytest.mark.parametrize(
    ("method", "path", "status", "code"),
    [
        ("GET", "/nothing.html", 404, "not_found"),
        ("GET", "/api/nothing", 404, "not_found"),
        ("GET", "/%2e%2e/app.py", 404, "not_found"),
        ("DELETE", "/api/window", 405, "not_allowed"),
        ("POST", "/", 405, "not_allowed"),
    ],
)
def test_wrong_addresses_have_the_same_shape(
    client: httpx.Client, method: str, path: str, status: int, code: str
) -> None:
    """A missing page and a wrong method answer as every refusal does."""
    response = client.request(method, path)
    assert response.status_code == status
    assert response.json()["error"]["code"] == code


@pytest.mark.parametrize("path", ["/api/window", "/api/rows"])
@pytest.mark.parametrize("is_announced", [True, False])
def test_too_long_a_body_is_refused(client: httpx.Client, path: str, is_announced: bool) -> None:
    """A flood stops at the limit, whether or not its length was announced."""
    flood = b" " * (MAX_BODY + 1)
    content = flood if is_announced else iter([flood[:1000], flood[1000:]])
    headers = {"Content-Type": "application/json"}
    response = client.post(path, content=content, headers=headers)
    assert response.status_code == 413
    assert refusal(response)["code"] == "too_large"


def test_a_fault_of_the_program_has_the_same_shape_and_tells_nothing() -> None:
    """A bug answers 500 in the shape of a refusal, without its insides."""

    def fails(*_: object) -> dict[str, Any]:
        raise ZeroDivisionError("a secret of the inside")

    app = page.create_app(
        answer_rows=fails, example_rows=list, say_error=lambda error, *_: error.code
    )
    with served(app) as client:
        response = client.post("/api/window", json={"rows": []})
    assert response.status_code == 500
    assert refusal(response)["code"] == "broken"
    assert "secret" not in response.text


def test_the_service_describes_itself(client: httpx.Client) -> None:
    """The description of the API is there, without pages that load scripts from elsewhere."""
    described = client.get("/api/openapi.json").json()
    assert set(described["paths"]) == {"/api/example", "/api/rows", "/api/window"}
    assert client.get("/docs").status_code == 404


def test_both_languages_say_everything() -> None:
    """The same keys, and in each sentence the same values to fill in."""
    english, spanish = (
        json.loads((page.STATIC / f"words.{lang}.json").read_text(encoding="utf-8"))
        for lang in ("en", "es")
    )
    assert list(english) == list(spanish)
    for key, sentence in english.items():
        blanks = re.findall(r"\{\w+\}", sentence)
        assert sorted(blanks) == sorted(re.findall(r"\{\w+\}", spanish[key])), key


def test_no_words_stand_idle() -> None:
    """Every sentence is spoken somewhere: by its key, or by a key put together."""
    code = "".join(path.read_text(encoding="utf-8") for path in STATIC if path.suffix == ".js")
    spoken = set(re.findall(r'"([\w.]+)"', code))
    put_together = {
        re.sub(r"\$\{[^}]+\}", r"[\\w.]+", found.replace(".", r"\."))
        for found in re.findall(r"say\(`([^`]+)`", code)
    } | {r"margin\.\w+", r"(more_of|less)"}
    words = json.loads((page.STATIC / "words.en.json").read_text(encoding="utf-8"))
    idle = {
        key
        for key in words
        if key not in spoken and not any(re.fullmatch(each, key) for each in put_together)
    }
    assert idle == set()


def test_the_offline_shell_keeps_every_file() -> None:
    """A file missing from the list would be missing on the roof."""
    worker = (page.STATIC / "worker.js").read_text(encoding="utf-8")
    listed = set(re.findall(r'"([\w.]+\.(?:js|css|json|svg))"', worker))
    own = {path.name for path in STATIC} - {"index.html", "worker.js"}
    assert listed == own
    assert '"./"' in worker


def test_the_page_names_no_other_place() -> None:
    """No address but the one that names the language of drawings."""
    for path in STATIC:
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "://" not in text, path.name


@pytest.mark.parametrize("name", ["units.js", "rows.js", "state.js", "present.js", "talk.js"])
def test_what_is_typed_is_kept_apart_from_the_page(name: str) -> None:
    """These modules touch no page, so another page may use them."""
    code = (page.STATIC / name).read_text(encoding="utf-8")
    assert not re.search(r"\b(document|window|localStorage)[.\[]", code)
