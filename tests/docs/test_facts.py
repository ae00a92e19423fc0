"""The page of facts lists every kind and field that the record knows, and nothing else."""

from __future__ import annotations

import os
import re
from pathlib import Path

from lapwright.record.fact import KINDS
from lapwright.record.kinds import UNITS, Field
from lapwright.record.setup import SETUP
from lapwright.record.work import WORK

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "facts.md"
_TABLES = re.compile(
    r"(?<=<!-- kinds: written by scripts/docs --record -->\n).*(?=<!-- end -->)", re.DOTALL
)
_QUANTITIES = {units: quantity for quantity, units in UNITS.items()}
_NEEDS = {"must": "must", "asked": "asked", "day": "by sign-off", "may": ""}


def _holds(field: Field) -> str:
    if field.type == "measure":
        return f"{_QUANTITIES[field.among]}, in {' / '.join(f'`{unit}`' for unit in field.among)}"
    if field.type in ("ref", "refs"):
        named = " or ".join(field.among) or "any fact"
        return f"{'ids' if field.type == 'refs' else 'id'} of {named}"
    if field.among:
        words = ", ".join(f"`{word}`" for word in field.among)
        return f"{'some' if field.type == 'words' else 'one'} of {words}"
    return {"flag": "true, false, or null: not known", "json": "JSON, kept whole"}.get(
        field.type, field.type
    )


def _tables() -> str:
    parts = []
    for title, kinds in (("Who and what", SETUP), ("The work", WORK)):
        parts.append(f"\n## {title}\n")
        for kind in kinds:
            parts.append(f"\n### `{kind.name}`\n\n| field | holds | needed |\n|---|---|---|\n")
            parts += [
                f"| `{field.name}` | {_holds(field)} | {_NEEDS[field.need]} |\n"
                for field in kind.fields
            ]
    return "".join(parts) + "\n"


def test_every_kind_and_field_of_a_fact_stands_in_its_page() -> None:
    """The tables of the page are those of the record."""
    text = PAGE.read_text(encoding="utf-8")
    today = _TABLES.sub(lambda _: _tables(), text)
    if "RECORD_DOCS" in os.environ:
        PAGE.write_text(today, encoding="utf-8")
    assert _TABLES.search(text), "the page has lost its marks"
    assert today == text or "RECORD_DOCS" in os.environ
    assert all(f"### `{name}`" in today for name in KINDS)
