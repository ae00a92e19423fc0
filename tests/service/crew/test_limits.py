"""How much is read of anybody, photos by their content, and what every answer tells a browser."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any

import httpx
import pytest

from lapwright.store.photos import LARGEST
from lapwright.web.limits import MAX_BODY, MAX_FACTS

Call = Callable[..., Any]
JOB = "01976d00-0000-7000-8000-00000000000a"
FACTS = f"/api/jobs/{JOB}/facts"
JPEG = b"\xff\xd8\xff\xe0"
pytestmark = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)


def photo_path(content: bytes) -> str:
    """Where a photo belongs."""
    return f"/api/jobs/{JOB}/photos/{hashlib.sha256(content).hexdigest()}"


def code_of(response: httpx.Response) -> str:
    """Code of a refusal in the one shape."""
    error = response.json()["error"]
    assert list(error) == ["code", "message", "row", "column", "field"]
    assert error["message"]
    assert "?" not in error["message"]
    return str(error["code"])


@pytest.mark.parametrize(
    ("method", "path", "most"),
    [
        ("POST", FACTS, MAX_FACTS),
        ("POST", "/api/window", MAX_BODY),
        ("POST", "/api/join", MAX_BODY),
        ("PUT", f"/api/jobs/{JOB}/photos/{'a' * 64}", LARGEST),
    ],
)
@pytest.mark.parametrize("is_announced", [True, False])
def test_a_flood_stops_at_its_limit(
    alone: httpx.Client, method: str, path: str, most: int, is_announced: bool
) -> None:
    """Whether or not its length was announced."""
    flood = b" " * (most + 1)
    content = flood if is_announced else iter([flood[:1000], flood[1000:]])
    headers = {"Content-Type": "application/json"}
    response = alone.request(method, path, content=content, headers=headers)
    assert (response.status_code, code_of(response)) == (413, "too_large")


def test_a_thousand_facts_pass_and_one_more_does_not(
    alone: httpx.Client, raw: Call, tell: Call
) -> None:
    """A phone with more sends them in several batches."""
    facts = [raw(number) for number in range(1, 1002)]
    assert len(tell(alone, *facts[:1000])["receipts"]) == 1000
    response = alone.post(FACTS, json={"facts": facts})
    assert (response.status_code, code_of(response)) == (422, "bad_request")


def test_a_photo_comes_back_as_it_was(alone: httpx.Client) -> None:
    """Twelve megabytes, twice, under the name of its content; then it may be kept for ever."""
    content = JPEG + bytes(range(256)) * (12 * 4096)
    for _ in range(2):
        assert alone.put(photo_path(content), content=content).status_code == 204
    answer = alone.get(photo_path(content))
    assert answer.content == content
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "immutable" in answer.headers["cache-control"]


@pytest.mark.parametrize(
    ("content", "path", "code"),
    [
        (JPEG + b"1", photo_path(JPEG + b"2"), "photo_differs"),
        (b"<svg onload='alert(1)'/>", photo_path(b"<svg onload='alert(1)'/>"), "photo_type"),
        (b"", photo_path(b""), "photo_type"),
        (JPEG, f"/api/jobs/{JOB}/photos/photo.jpg", "bad_request"),
        (JPEG, f"/api/jobs/{JOB}/photos/{'A' * 64}", "bad_request"),
        (JPEG, f"/api/jobs/nobody/photos/{'a' * 64}", "bad_request"),
    ],
)
def test_what_is_no_such_photo_is_refused(
    alone: httpx.Client, content: bytes, path: str, code: str
) -> None:
    """Another content than its name says, no picture, or no name of a content."""
    response = alone.put(path, content=content)
    assert (response.status_code, code_of(response)) == (422, code)


def test_a_photo_that_has_not_come_is_not_there(alone: httpx.Client) -> None:
    """The fact that names it may well have come before it."""
    response = alone.get(photo_path(JPEG))
    assert (response.status_code, code_of(response)) == (404, "not_found")


@pytest.mark.parametrize("path", ["/", "/field/", "/api/me", "/api/jobs", "/api/nothing", FACTS])
def test_every_answer_is_under_the_policy(crew: Any, path: str) -> None:
    """Also a refusal: only our own files load, nobody frames us, no answer of the API is kept."""
    headers = crew.client().get(path).headers
    policy = headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; script-src 'self';")
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "geolocation=()" in headers["permissions-policy"]
    assert headers["cache-control"] == ("no-store" if path.startswith("/api/") else "no-cache")
    assert "access-control-allow-origin" not in headers


def test_a_fault_of_the_store_tells_nothing(crew: Any, monkeypatch: Any) -> None:
    """A bug answers in the shape of a refusal, under the same policy, without its insides."""

    def fails(*_: object) -> None:
        raise ZeroDivisionError("a secret of the inside")

    monkeypatch.setattr(type(crew.store.ledger), "jobs", fails)
    response = crew.client("foreman").get("/api/jobs")
    assert (response.status_code, code_of(response)) == (500, "broken")
    assert "secret" not in response.text
    assert "default-src 'none'" in response.headers["content-security-policy"]


def test_long_answers_travel_short(alone: httpx.Client, raw: Call, tell: Call) -> None:
    """Many facts are packed for a weak signal; what carries a secret is not."""
    tell(alone, *(raw(number) for number in range(1, 101)))
    assert alone.get(FACTS).headers["content-encoding"] == "gzip"
    assert "content-encoding" not in alone.get("/api/me").headers
