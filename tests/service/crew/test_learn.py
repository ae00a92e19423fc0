"""Practice over the air: a blind quiz, a hidden morning, and a record that neither touches."""

from __future__ import annotations

import hashlib
import io
import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from PIL import Image
from tests import cast

from lapwright.job.quiz import GRADED
from lapwright.record.ids import CREW_CHAIN
from lapwright.store import Store

Call = Callable[..., Any]
pytestmark = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)
KEYS = {"bottom_f", "top_f", "has_window", "outcome", "sound_share"}


def photo(shade: int) -> bytes:
    """A small grey picture."""
    file = io.BytesIO()
    Image.new("L", (8, 8), shade).save(file, "JPEG")
    return file.getvalue()


def keep(store: Store, *, arrived: int) -> dict[str, str]:
    """Six photographed strips, so many of whose photos have come; grade by photo."""
    weld, *rest = cast.welded("1", "860 f", "fpfcfp")
    strips = [each for each in rest if each.kind == "strip"]
    photos = [photo(40 * place) for place in range(len(strips))]
    shas = [hashlib.sha256(content).hexdigest() for content in photos]
    facts = [cast.fact("photo", at="08:00", file=sha, of=strip)
             for sha, strip in zip(shas, strips, strict=True)]  # fmt: skip
    store.ledger.append(cast.JOB, [weld, *rest, *facts], received_at="2026-05-05T00:00:00+00:00")
    for sha, content in list(zip(shas, photos, strict=True))[:arrived]:
        store.photos.put(sha, content)
    return {sha: strip["pull"] for sha, strip in zip(shas, strips, strict=True)}


def answered(quiz: Any, grade: Callable[[Any], str]) -> dict[str, Any]:
    """All answers to a quiz."""
    answers = [{"strip": one["strip"], "grade": grade(one)} for one in quiz["strips"]]
    return {"seed": quiz["seed"], "n": quiz["n"], "of": quiz["of"], "answers": answers}


def test_a_quiz_is_blind_until_all_is_in(alone: Any) -> None:
    """What is fetched names no grade; with one strip open nothing comes out; then the marks."""
    response = alone.get("/api/quiz", params={"seed": 11})
    strips = json.dumps(response.json()["strips"])
    assert not [name for name in GRADED["pull"] if re.search(rf"\b{name}\b", strips)]
    whole = answered(response.json(), lambda _: "cannot_tell")
    short = whole | {"answers": whole["answers"][:-1]}
    refused = alone.post("/api/quiz/answers", json=short)
    assert (refused.status_code, refused.json()["error"]["code"]) == (422, "quiz_unfinished")
    assert "truth" not in refused.text
    marks = alone.post("/api/quiz/answers", json=whole).json()
    assert (marks["right"], len(marks["marks"])) == (0, 10)
    truths = {mark["strip"]: mark["truth"] for mark in marks["marks"]}
    right = answered(response.json(), lambda one: truths[one["strip"]])
    assert alone.post("/api/quiz/answers", json=right).json()["right"] == 10


def test_photos_of_the_job_are_among_the_strips(store: Store, alone: Any) -> None:
    """Those that have come, at their own address, marked by what is on record."""
    grades = keep(store, arrived=4)
    asked = {"seed": 3, "n": 12, "job": cast.JOB}
    quiz = alone.get("/api/quiz", params=asked).json()
    shown = [strip for strip in quiz["strips"] if strip["photo"]]
    assert len(shown) == 4
    assert {one["strip"] for one in shown} == set(list(grades)[:4])
    for one in shown:
        assert alone.get(f"/{one['photo']}").headers["content-type"] == "image/jpeg"
        assert one["says"] == "Photo of a pulled strip of this job."
    given = answered(quiz, lambda one: grades.get(one["strip"], "cold")) | {"job": cast.JOB}
    told = alone.post("/api/quiz/answers", json=given).json()
    marks = {mark["strip"]: mark for mark in told["marks"]}
    assert all(marks[one["strip"]]["is_right"] for one in shown)
    without = alone.get("/api/quiz", params={"seed": 3, "n": 12}).json()
    assert not any(strip["photo"] for strip in without["strips"])


def test_looks_are_asked_for_in_the_readers_language(alone: Any) -> None:
    """The same strips in Spanish, the same codes to answer with."""
    ask = {"seed": 5, "of": "look", "n": 6}
    english, spanish = (
        alone.get("/api/quiz", params={**ask, "lang": lang}).json() for lang in ("en", "es")
    )
    assert [one["grade"] for one in english["grades"]] == [*GRADED["look"], "cannot_tell"]
    assert [one["grade"] for one in spanish["grades"]] == [
        one["grade"] for one in english["grades"]
    ]
    assert spanish["strips"][0]["says"] != english["strips"][0]["says"]
    assert [one["strip"] for one in spanish["strips"]] == [
        one["strip"] for one in english["strips"]
    ]


@pytest.mark.parametrize(
    ("params", "status"),
    [({"job": CREW_CHAIN}, 404), ({"job": cast.JOB}, 404), ({"n": 4}, 422), ({"of": "x"}, 422)],
    ids=["crew", "unknown", "short", "other"],
)
def test_what_is_no_quiz_is_refused(alone: Any, params: dict[str, Any], status: int) -> None:
    """No photos of the crew's own chain or of no job, and no quiz that fishes for one answer."""
    assert alone.get("/api/quiz", params={"seed": 1, **params}).status_code == status


def weld(air_f: float, *, looked: bool = True) -> dict[str, Any]:
    """A practice weld at 10 ft/min."""
    return {"air_f": air_f, "speed_ft_min": 10, "looked": looked}


def test_a_morning_hides_its_truth_until_it_is_decided(alone: Any) -> None:
    """Welds show strips and looks, the last one drawn; the decision brings the truth."""
    ask = {"seed": 5, "welds": [weld(500), weld(900, looked=False)]}
    so_far = alone.post("/api/practice", json=ask).json()
    assert (so_far["practice"], so_far["end"], so_far["welds_left"]) == (True, None, 10)
    assert not [key for key in KEYS if f'"{key}"' in json.dumps(so_far)]
    assert [len(so_far["drawn"][name]) for name in ("strips", "looks")] == [3, 0]
    assert so_far["welds"][1]["signs"] == [None] * 3
    end = alone.post("/api/practice", json=ask | {"decide": weld(700)}).json()
    assert end["error"]["code"] == "bad_request"  # a set point is not looked at
    decide = {"air_f": 700, "speed_ft_min": 10}
    end = alone.post("/api/practice", json=ask | {"decide": decide}).json()
    assert end["welds"] == so_far["welds"]
    assert set(end["end"]) > KEYS
    assert 0 < end["end"]["sound_share"] <= 1
    open_ = alone.post("/api/practice", json=ask | {"decide": "not_known"}).json()
    assert open_["end"]["decided"] is None


def test_metric_welds_are_the_same_welds(alone: Any) -> None:
    """371.11 C and 3.048 m/min are 700 F and 10 ft/min."""
    us = alone.post("/api/practice", json={"seed": 5, "welds": [weld(700)]}).json()
    metric = {"air_c": (700 - 32) / 1.8, "speed_m_min": 3.048, "looked": True}
    other = alone.post(
        "/api/practice", json={"seed": 5, "welds": [metric], "units": "metric"}
    ).json()
    assert us["welds"][0]["pulls"] == other["welds"][0]["pulls"]
    assert other["welds"][0]["air_c"] == 371.1


@pytest.mark.parametrize(
    ("welds", "code"),
    [
        ([{"air_f": 700}], "out_of_range"),
        ([weld(700) | {"air_c": 300}], "stated_twice"),
        ([weld(9000)], "out_of_range"),
        ([weld(700)] * 13, "bad_request"),
    ],
    ids=["half", "twice", "hot", "many"],
)
def test_what_no_machine_takes_is_refused(alone: Any, welds: list[Any], code: str) -> None:
    """One sentence in the usual shape."""
    response = alone.post("/api/practice", json={"seed": 1, "welds": welds})
    assert response.status_code == 422
    assert response.json()["error"]["code"] == code
    assert response.json()["error"]["message"]


def test_nothing_of_it_enters_the_record(store: Store, alone: Any) -> None:
    """After a quiz with photos and a whole morning every chain ends where it ended."""
    keep(store, arrived=6)
    before = {job: store.ledger.head(job) for job in store.ledger.jobs()}
    quiz = alone.get("/api/quiz", params={"seed": 3, "job": cast.JOB}).json()
    alone.post("/api/quiz/answers", json=answered(quiz, lambda _: "cold") | {"job": cast.JOB})
    alone.post("/api/practice", json={"seed": 3, "welds": [weld(700)], "decide": "not_known"})
    assert {job: store.ledger.head(job) for job in store.ledger.jobs()} == before
