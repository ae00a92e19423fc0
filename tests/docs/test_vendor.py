"""The page's files from elsewhere: unchanged, licensed, complete in the wheel."""

from __future__ import annotations

import hashlib
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import vl_convert
from hatchling.builders.wheel import WheelBuilder

ROOT = Path(__file__).resolve().parents[2]
VENDOR = ROOT / "src" / "lapwright" / "web" / "static" / "vendor"
PACKAGES: list[dict[str, Any]] = tomllib.loads(
    (VENDOR / "vendor.toml").read_text(encoding="utf-8")
)["package"]
FILES = [file for package in PACKAGES for file in package["file"]]
BY_NAME = {package["name"]: package for package in PACKAGES}

# First words of each licence as its author publishes it; the names are those of SPDX.
OPENINGS = {
    "MIT": "Permission is hereby granted, free of charge, to any person obtaining a copy",
    "Apache-2.0": "Apache License Version 2.0, January 2004",
    "ISC": "Permission to use, copy, modify, and/or distribute this software for any purpose",
    "BSD-3-Clause": "Neither the name",  # its third clause, which the shorter kinds lack
}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file["path"])
def test_each_file_is_the_one_on_record(file: dict[str, Any]) -> None:
    """A vendored file has the sum that was written when it was taken."""
    content = (VENDOR / file["path"]).read_bytes()
    assert hashlib.sha256(content).hexdigest() == file["sha256"]


def test_nothing_came_by_another_way() -> None:
    """Every file in the folder is on the list, every file on the list is in the folder."""
    listed = {file["path"] for file in FILES}
    listed |= {package["licence_file"] for package in PACKAGES} | {"vendor.toml"}
    found = {path.relative_to(VENDOR).as_posix() for path in VENDOR.rglob("*") if path.is_file()}
    assert found == listed


@pytest.mark.parametrize("package", PACKAGES, ids=lambda package: package["name"])
def test_each_package_brings_its_licence(package: dict[str, Any]) -> None:
    """The licence text is the one named, and what was built in by others is named with its own."""
    text = " ".join((VENDOR / package["licence_file"]).read_text(encoding="utf-8").split())
    assert OPENINGS[package["licence"]] in text
    assert re.findall(r"--- (\S+), built in ---", text) == package.get("inside", [])


def test_every_import_leads_to_a_vendored_file() -> None:
    """No module asks for a bare name: an import map would need what the page's rules forbid."""
    for file in FILES:
        for target in file.get("imports", {}).values():
            assert (VENDOR / file["path"]).parent.joinpath(target).is_file()
        if not file["path"].startswith("vega/"):  # one program each, not modules
            text = (VENDOR / file["path"]).read_text(encoding="utf-8")
            asked = set(re.findall(r'\bfrom\s*"([^"]+)"', text))
            assert asked == set(file.get("imports", {}).values())


def test_page_and_paper_draw_with_one_vega() -> None:
    """A chart on the phone is the chart in the report: the versions that vl-convert carries."""
    assert BY_NAME["vega"]["version"] == vl_convert.get_vega_version()
    newest = vl_convert.get_vegalite_versions()[-1]  # "6.4": it tells no third figure
    assert BY_NAME["vega-lite"]["version"].rsplit(".", 1)[0] == newest
    ours, theirs = BY_NAME["vega-embed"]["version"], vl_convert.get_vega_embed_version()
    assert ours.split(".")[0] == theirs.split(".")[0]  # it draws nothing itself


@pytest.mark.parametrize("name", ["vega", "vega-lite"])
def test_each_vega_is_the_version_it_says(name: str) -> None:
    """The program itself carries the version on the list."""
    (file,) = BY_NAME[name]["file"]
    text = (VENDOR / file["path"]).read_text(encoding="utf-8")
    assert f'"{BY_NAME[name]["version"]}"' in text


def test_the_wheel_carries_them() -> None:
    """A crew that installs the package has every file, sums and licences included."""
    built = {
        file.distribution_path for file in WheelBuilder(str(ROOT)).recurse_selected_project_files()
    }
    inside = {f"lapwright/web/static/vendor/{file['path']}" for file in FILES}
    inside |= {f"lapwright/web/static/vendor/{package['licence_file']}" for package in PACKAGES}
    assert inside <= built
