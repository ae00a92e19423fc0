"""The pages about the hours ahead name every column and every key there is."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pvlib
import pytest
from click.testing import CliRunner

import lapwright
from lapwright.cli import main
from lapwright.readings import weather

REFERENCE = Path(__file__).resolve().parents[2] / "docs" / "reference"
EXAMPLES = Path(lapwright.__file__).parent / "examples"
DAY = (
    str(EXAMPLES / "forecast.csv"),
    "--at",
    "36.1,-95.9",
    "--welds",
    str(EXAMPLES / "morning.csv"),
)
YEAR = (str(Path(pvlib.__file__).parent / "data" / "703165TY.csv"),)


def _section(page: str, title: str) -> str:
    text = (REFERENCE / page).read_text(encoding="utf-8")
    return re.split(r"^## ", text.partition(f"## {title}\n")[2], flags=re.MULTILINE)[0]


def test_every_weather_column_is_explained() -> None:
    """Each column that a forecast file may have, in each unit, stands in the page of files."""
    text = _section("files.md", "Forecast files")
    named = {"time", "note", *(column for column in weather._COLUMNS)}
    assert not [name for name in sorted(named) if f"`{name}`" not in text]


@pytest.mark.parametrize("args", [DAY, YEAR], ids=["day", "year"])
def test_every_key_of_the_days_json_is_explained(args: tuple[str, ...]) -> None:
    """Each key that ``day --json`` prints in US units stands in the page of the JSON."""
    figures = json.loads(CliRunner().invoke(main, ["day", *args, "--json"]).stdout)
    text = _section("json.md", "The day")

    def keys(value: Any, *, inside: str = "") -> set[str]:
        if inside in ("stopped_h", "test_because") and isinstance(value, dict):
            return set()  # names of reasons
        inner = value.items() if isinstance(value, dict) else [(inside, v) for v in value]
        deeper = [keys(v, inside=name) for name, v in inner if isinstance(v, dict | list)]
        return set(value if isinstance(value, dict) else ()).union(*deeper)

    assert not [key for key in sorted(keys(figures)) if f"`{key}`" not in text]
