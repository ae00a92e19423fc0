"""What the field page is made of: its files, their weight, and what stands in them."""

from __future__ import annotations

import gzip
import json
import runpy
from pathlib import Path

from lapwright.web.app import STATIC

FIELD = STATIC / "field"
TABLES = runpy.run_path(str(Path(__file__).parents[3] / "scripts" / "tables"))
MOST = 150_000  # bytes compressed; the goal of this page, without charts


def test_what_comes_from_the_package_is_what_the_package_says() -> None:
    """Kinds, roles, rules, sentences and the list of files are those of today's code."""
    for path, text in TABLES["written"]().items():
        assert path.read_text(encoding="utf-8") == text, f"run scripts/tables: {path.name}"


def test_the_shell_is_light() -> None:
    """All that the page opens with, compressed file by file."""
    names = TABLES["files"](later=False)[1:]
    weight = sum(len(gzip.compress((FIELD / name).read_bytes())) for name in names)
    assert weight < MOST, weight
    kept = json.loads((FIELD / "shell.json").read_text(encoding="utf-8"))
    assert not any("vega" in name for name in kept)
    assert "roof/routes.js" in kept  # late, but there without a signal


def test_the_home_screen_finds_its_pictures() -> None:
    """Each icon that the manifest and the page name is there."""
    manifest = json.loads((FIELD / "app.webmanifest").read_text(encoding="utf-8"))
    for icon in [*manifest["icons"], {"src": "icon-180.png"}]:
        assert (FIELD / icon["src"]).resolve().exists()
