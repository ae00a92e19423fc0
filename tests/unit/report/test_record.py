"""The frozen record of one decision."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from lapwright.errors import FileUnreadable
from lapwright.job.morning import Morning, find_window
from lapwright.readings.record import read_answer
from lapwright.report.record import keep


def test_a_kept_answer_comes_back_to_the_last_digit(whole_morning: Morning, tmp_path: Path) -> None:
    """Written, read, equal; and its question replays to the same numbers."""
    answer = whole_morning.answer()
    keep(answer, tmp_path / "answer.json")
    back = read_answer(tmp_path / "answer.json")
    assert back == answer
    assert find_window(back.question) == answer


def test_notes_in_any_tongue_survive(whole_morning: Morning, tmp_path: Path) -> None:
    """What the crew wrote beside a strip comes back sign by sign."""
    answer = whole_morning.answer()
    first, *rest = answer.question.welds
    strip = replace(first.strips[0], note='ñandú "half" ½\n')
    welds = (replace(first, strips=(strip, *first.strips[1:])), *rest)
    noted = replace(answer, question=replace(answer.question, welds=welds))
    keep(noted, tmp_path / "noted.json")
    assert read_answer(tmp_path / "noted.json") == noted


def test_the_record_is_plain_json_with_its_model(whole_morning: Morning, tmp_path: Path) -> None:
    """Readable without lapwright: UTF-8 JSON in SI with release, model and no seed."""
    keep(whole_morning.answer(), tmp_path / "answer.json")
    content = json.loads((tmp_path / "answer.json").read_text(encoding="utf-8"))
    assert content["model"] == "two-edge-1"
    assert content["version"]
    assert content["seed"] is None
    assert 500 < content["question"]["welds"][0]["air"] < 900  # kelvin


def test_a_record_is_never_overwritten(early_morning: Morning, tmp_path: Path) -> None:
    """A second answer under the same name is refused, the first stays."""
    path = tmp_path / "answer.json"
    keep(early_morning.answer(), path)
    before = path.read_bytes()
    with pytest.raises(FileUnreadable) as caught:
        keep(early_morning.answer(), path)
    assert (caught.value.code, caught.value.data["file"]) == ("already_kept", str(path))
    assert path.read_bytes() == before


def test_a_record_needs_its_folder(early_morning: Morning, tmp_path: Path) -> None:
    """Where nothing can be written the reason is told."""
    with pytest.raises(FileUnreadable) as caught:
        keep(early_morning.answer(), tmp_path / "nowhere" / "answer.json")
    assert caught.value.code == "cannot_write"
    assert caught.value.data["reason"]
