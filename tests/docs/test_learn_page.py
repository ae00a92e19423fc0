"""The page of the JSON names every key that past days are told with."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from click.testing import CliRunner

import lapwright
from lapwright.cli import main

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "json.md"
WEEK = Path(lapwright.__file__).parent / "examples" / "week.zip"


def keys(value: Any) -> set[str]:
    """All keys inside, at any depth."""
    if isinstance(value, list):
        return set().union(*map(keys, value))
    if isinstance(value, dict):
        return set(value).union(*map(keys, value.values()))
    return set()


def test_every_key_of_past_days_is_explained(tmp_path: Path) -> None:
    """Each key that ``learn --json`` prints in US units stands in its section."""
    store = str(tmp_path / "week.db")
    assert CliRunner().invoke(main, ["import", str(WEEK), "--store", store]).exit_code == 0
    asked = ["learn", "--store", store, "--job", "0197", "--day", "2026-05-23", "--json"]
    found = keys(json.loads(CliRunner().invoke(main, asked).stdout))
    text = PAGE.read_text(encoding="utf-8").partition("## What past days teach\n")[2]
    assert {"expects", "bottom_low_f", "likelier"} < found
    assert not [key for key in sorted(found) if f"`{key}`" not in text]
