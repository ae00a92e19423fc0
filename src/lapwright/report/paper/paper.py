"""A document becomes a file to keep: PDF/A-3a and PDF/UA-1, the same bytes each time."""

from __future__ import annotations

import csv
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO, StringIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from PIL import Image

from lapwright.errors import LapwrightError
from lapwright.record.cells import as_cell
from lapwright.report.paper.blocks import Document, Listed, Picture, Shots
from lapwright.report.paper.face import FONTS, printable
from lapwright.report.paper.setting import Files, blocks_of, set_document, text_width
from lapwright.words import say

_HERE = Path(__file__).parent
# Files that were read go back to the system when they are done with (GNU C library; 50 MB of 1 GB).
_GIVES_BACK = {"MALLOC_MMAP_THRESHOLD_": "131072"}
_PICTURE = re.compile(r"\bpicture-\d+\.svg\b")
# The typesetter hands a photo through that a drawing refers to. One by itself it would unpack
# and keep so: 2 MB each.
_FRAME = """<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}">
<image href="{file}" width="{width}" height="{height}"/></svg>"""


@dataclass(frozen=True)
class Attachment:
    """A file inside the PDF.

    Parameters
    ----------
    name : str
        It is saved under.
    content : bytes
        Of it.
    mime : str
        Media type.
    relation : {"source", "data", "alternative", "supplement"}
        To the pages, in the words of PDF/A-3.
    description : str
        One line for who opens it.
    """

    name: str
    content: bytes
    mime: str
    relation: Literal["source", "data", "alternative", "supplement"]
    description: str


def _photos_into(
    folder: Path, document: Document, photos: Mapping[str, bytes]
) -> tuple[dict[str, str], dict[str, str]]:
    """Files of the photos; and why the others are not there."""
    shown = [block for block in blocks_of(document) if isinstance(block, Shots)]
    files, missing = {}, {}
    for number, file in enumerate(dict.fromkeys(shot.file for row in shown for shot in row.shots)):
        if content := photos.get(file):
            photo, files[file] = f"photo-{number}.jpg", f"photo-{number}.svg"
            (folder / photo).write_bytes(content)
            with Image.open(BytesIO(content)) as opened:
                width, height = opened.size
            frame = _FRAME.format(file=photo, width=width, height=height)
            (folder / files[file]).write_text(frame, encoding="utf-8")
        else:
            why = "bad_photo" if file in photos else "no_photo"
            missing[file] = say("pdf", why, {"file": file[:12]}, language=document.language)
    return files, missing


def _pictures_into(folder: Path, pictures: Sequence[Picture]) -> dict[str, str]:
    """Files of the drawings by their text."""
    files = {picture.svg: f"picture-{number}.svg" for number, picture in enumerate(pictures)}
    for svg, name in files.items():
        (folder / name).write_text(printable(svg), encoding="utf-8")
    return files


def _attached_into(folder: Path, attached: Sequence[Attachment]) -> list[dict[str, str]]:
    """What the template says of each attachment."""
    told = []
    for number, each in enumerate(attached):
        (folder / f"attached-{number}").write_bytes(each.content)
        told.append({
            "file": f"attached-{number}",
            "name": each.name,
            "mime": each.mime,
            "relation": each.relation,
            "description": each.description,
        })  # fmt: skip
    return told


def _listed(document: Document) -> list[Attachment]:
    """The tables that are too long for paper, as CSV (RFC 4180)."""
    found = []
    for block in blocks_of(document):
        if isinstance(block, Listed):
            text = StringIO()
            rows = (block.grid.head, *block.grid.rows)
            csv.writer(text, lineterminator="\n").writerows(map(as_cell, row) for row in rows)
            content = text.getvalue().encode()
            found.append(Attachment(block.file, content, "text/csv", "data", block.grid.caption))
    return found


def _press(folder: Path, seconds: int, pictures: Mapping[str, Picture]) -> bytes:
    """Print what lies in the folder; what the typesetter cannot read is named."""
    command = [sys.executable, "-I", str(_HERE / "press.py"), str(folder), str(FONTS), str(seconds)]
    told = subprocess.run(command, capture_output=True, check=False, env=os.environ | _GIVES_BACK)
    if told.returncode:
        reason = told.stderr.decode(errors="replace").strip() or f"exit {told.returncode}"
        if (named := _PICTURE.search(reason)) is not None:
            raise LapwrightError("paper_picture", picture=pictures[named.group()].alt)
        raise LapwrightError("paper_failed", reason=reason)
    return (folder / "paper.pdf").read_bytes()


def pdf_of(
    document: Document,
    *,
    photos: Mapping[str, bytes],
    attached: Sequence[Attachment] = (),
) -> bytes:
    """The document as a PDF that can be archived and read aloud.

    Parameters
    ----------
    document : Document
        What it says.
    photos : mapping of str to bytes
        Prints by the SHA-256 of the photo, as :func:`~lapwright.report.paper.photos.printed`
        makes them; empty where it is damaged, not there where it has not come.
    attached : sequence of Attachment
        Files inside it.

    Returns
    -------
    bytes
        The same for the same arguments, on any machine.

    Raises
    ------
    LapwrightError
        ``paper_picture``: a drawing is no SVG. ``paper_failed``: the pages could not be set.
    """
    seconds = int(datetime.fromisoformat(document.made_at).timestamp())
    pictures = [block for block in blocks_of(document) if isinstance(block, Picture)]
    inside = (*attached, *_listed(document))
    with TemporaryDirectory(prefix="lapwright-") as name:
        folder = Path(name)
        shown, missing = _photos_into(folder, document, photos)
        files = Files(text_width(document), _pictures_into(folder, pictures), shown, missing)
        told = set_document(document, files) | {"attached": _attached_into(folder, inside)}
        (folder / "paper.json").write_text(json.dumps(told, ensure_ascii=False), encoding="utf-8")
        shutil.copyfile(_HERE / "templates" / "paper.typ", folder / "paper.typ")
        del told  # a tenth of the memory, not needed while the pages are set
        return _press(folder, seconds, {files.pictures[each.svg]: each for each in pictures})
