"""Words of the pages: one word for one key."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import lapwright

STATIC = Path(lapwright.__file__).parent / "web" / "static"
LISTS = sorted(STATIC.rglob("words.*.json"))


@pytest.mark.parametrize("path", LISTS, ids=lambda path: path.relative_to(STATIC).as_posix())
def test_a_list_names_each_key_once(path: Path) -> None:
    """Of two words under one key the second would win unseen."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        names = [name for name, _ in pairs]
        assert sorted(names) == sorted(set(names))
        return dict(pairs)

    json.loads(path.read_text(encoding="utf-8"), object_pairs_hook=once)


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_two_lists_of_the_field_page_share_a_key(language: str) -> None:
    """The field page lays its lists over each other: a shared key would hide one word."""
    folders = ("kit", "field", "field/said", "field/learn")
    lists = [STATIC / folder / f"words.{language}.json" for folder in folders]
    names = [name for path in lists for name in json.loads(path.read_text(encoding="utf-8"))]
    assert sorted(names) == sorted(set(names))
