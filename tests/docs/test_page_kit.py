"""The page about the parts of the field page against the parts themselves."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
KIT = ROOT / "src" / "lapwright" / "web" / "static" / "kit"
PAGE = (ROOT / "docs" / "reference" / "page-kit.md").read_text(encoding="utf-8")
SHARED = {"NumberField": {"Measure", "StationField"}}  # what these hand on with ...rest
MADE_INSIDE = {"unit", "sizes", "step", "check"}


def _props(code: str) -> dict[str, set[str]]:
    """Props of each component in a file, as its signature takes them apart."""
    found = re.findall(r"(?:function|const) ([A-Z]\w+)(?: = )?\(\{([^}]*)\}\)", code)
    return {
        name: {prop.split("=")[0].strip() for prop in props.split(",")} - {"...rest", ""}
        for name, props in found
    }


def _written() -> dict[str, set[str]]:
    """Props of each part as the page lists them."""
    rows = re.findall(r"^\| `([A-Z]\w+)` \| ([^|]*) \|", PAGE, re.MULTILINE)
    return {name: set(re.findall(r"`(\w+)`", props)) for name, props in rows}


def test_every_prop_is_on_the_page() -> None:
    """The page lists the props that each part takes, no more and no fewer."""
    code = "".join(path.read_text(encoding="utf-8") for path in KIT.glob("*.js"))
    taken = _props(code)
    for base, heirs in SHARED.items():
        handed = taken.pop(base) - MADE_INSIDE
        for name in heirs:
            taken[name] |= handed
    taken["StationField"] -= {"decimals"}  # its own
    assert _written() == taken


def test_every_part_is_given_out_in_one_place() -> None:
    """kit.js gives out each part that the page lists."""
    index = (KIT / "kit.js").read_text(encoding="utf-8")
    assert set(_written()) <= set(re.findall(r"\b[A-Z]\w+", index))
