"""A file of facts is read whole or refused with its line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests import cast

from lapwright.errors import FileUnreadable
from lapwright.readings.facts import read_facts


def written(folder: Path, *lines: str) -> Path:
    """A file of these lines."""
    path = folder / "facts.jsonl"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def test_facts_come_back_as_they_were(tmp_path: Path) -> None:
    """One fact a line; empty lines count for nothing."""
    lines = [json.dumps(one.plain(), ensure_ascii=False) for one in cast.SETUP]
    assert read_facts(written(tmp_path, lines[0], "", *lines[1:], " ")) == list(cast.SETUP)


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("{", "JSON"),
        ("[" * 100_000, "JSON"),
        ("[]", "fact"),
        (json.dumps(cast.TOM.plain() | {"kind": "dream"}), "dream"),
        (json.dumps(cast.TOM.plain() | {"at": "noon"}), "at"),
        (json.dumps(cast.TOM.plain() | {"body": {"name": "Tom"}}), "language"),
    ],
)
def test_what_is_no_fact_is_refused_with_its_line(tmp_path: Path, line: str, column: str) -> None:
    """The second line is at fault, and the field is named."""
    good = json.dumps(cast.TOM.plain())
    with pytest.raises(FileUnreadable) as refused:
        read_facts(written(tmp_path, good, line))
    assert refused.value.code == "fact_line"
    assert (refused.value.data["row"], refused.value.data["column"]) == (2, column)


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    """The name is repeated, no traceback."""
    with pytest.raises(FileUnreadable, match="file_missing"):
        read_facts(tmp_path / "none.jsonl")
