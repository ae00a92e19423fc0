"""A kept answer comes back in, or is refused by name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.morning import find_window
from lapwright.readings.record import read_answer
from lapwright.report.record import keep
from lapwright.window.answer import Question
from lapwright.words import LANGUAGES, say_error


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """A small answer, kept."""
    path = tmp_path / "answer.json"
    keep(find_window(Question(ambient=300.0)), path)
    return path


def test_a_missing_record_is_named_in_both_languages(tmp_path: Path) -> None:
    """No such file: the error has a sentence and the sentence names the file."""
    path = tmp_path / "gone.json"
    with pytest.raises(FileUnreadable) as caught:
        read_answer(path)
    for language in LANGUAGES:
        assert str(path) in say_error(caught.value.code, caught.value.data, language=language)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "not_an_answer"),
        (b"weld,air_f", "not_an_answer"),
        (b"[]", "not_an_answer"),
        (b"\xff\xfe\x00", "not_text"),
        (b'{"question": 1}', "not_an_answer"),
    ],
)
def test_what_was_not_kept_is_refused(tmp_path: Path, content: bytes, code: str) -> None:
    """Other files are not answers; the file is named."""
    path = tmp_path / "other.json"
    path.write_bytes(content)
    with pytest.raises(FileUnreadable) as caught:
        read_answer(path)
    assert caught.value.code == code
    assert caught.value.data["file"] == str(path)


def changed(kept: Path, change: dict[str, Any]) -> Path:
    """The record with some of its question's fields changed."""
    content = json.loads(kept.read_text(encoding="utf-8"))
    content["question"] |= change
    kept.write_text(json.dumps(content), encoding="utf-8")
    return kept


def test_the_place_of_the_fault_is_told(kept: Path) -> None:
    """A record with a wrong field says which one."""
    with pytest.raises(FileUnreadable) as caught:
        read_answer(changed(kept, {"thickness": "thick"}))
    assert caught.value.data["column"] == "question.thickness"


def test_a_question_nobody_could_ask_is_refused(kept: Path) -> None:
    """A tampered question falls to the checks of every question."""
    with pytest.raises(LapwrightError):
        read_answer(changed(kept, {"level": 0.1}))
