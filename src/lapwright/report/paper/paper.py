"""A document becomes a file to keep: PDF/A-3a and PDF/UA-1, the same bytes each time."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from lapwright.errors import LapwrightError
from lapwright.report.paper.blocks import Document, Picture, Shots
from lapwright.report.paper.face import FONTS, printable
from lapwright.report.paper.photos import printed
from lapwright.report.paper.setting import Files, blocks_of, set_document, text_width
from lapwright.words import say

_HERE = Path(__file__).parent
_PICTURE = re.compile(r"\bpicture-\d+\.svg\b")

Photos = Callable[[str], bytes | None]
Progress = Callable[[str, float], None]


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


def _scaled(file: str, photos: Photos) -> bytes | str:
    """A photo ready for print, or the code of why there is none."""
    try:
        content = photos(file)
    except LapwrightError:  # kept, but no longer what its name says
        return "bad_photo"
    if content is None:
        return "no_photo"
    return printed(content) or "bad_photo"


def _photos_into(
    folder: Path, document: Document, photos: Photos, progress: Progress
) -> tuple[dict[str, str], dict[str, str]]:
    """Files of the photos, scaled one by one; and why the others are not there."""
    shown = [block for block in blocks_of(document) if isinstance(block, Shots)]
    wanted = list(dict.fromkeys(shot.file for block in shown for shot in block.shots))
    files, missing = {}, {}
    for number, file in enumerate(wanted):
        progress("photos", number / len(wanted))
        ready = _scaled(file, photos)
        if isinstance(ready, str):
            missing[file] = say("pdf", ready, {"file": file[:12]}, language=document.language)
        else:
            files[file] = f"photo-{number}.jpg"
            (folder / files[file]).write_bytes(ready)
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


def _press(folder: Path, seconds: int, pictures: Mapping[str, Picture]) -> bytes:
    """Print what lies in the folder; what the typesetter cannot read is named."""
    command = [sys.executable, "-I", str(_HERE / "press.py"), str(folder), str(FONTS), str(seconds)]
    told = subprocess.run(command, capture_output=True, check=False)
    if told.returncode:
        reason = told.stderr.decode(errors="replace").strip() or f"exit {told.returncode}"
        if (named := _PICTURE.search(reason)) is not None:
            raise LapwrightError("paper_picture", picture=pictures[named.group()].alt)
        raise LapwrightError("paper_failed", reason=reason)
    return (folder / "paper.pdf").read_bytes()


def pdf_of(
    document: Document,
    *,
    photos: Photos,
    attached: Sequence[Attachment] = (),
    progress: Progress | None = None,
) -> bytes:
    """The document as a PDF that can be archived and read aloud.

    Parameters
    ----------
    document : Document
        What it says.
    photos : callable
        Content of a photo by its SHA-256; None when it has not come.
    attached : sequence of Attachment
        Files inside it.
    progress : callable, optional
        Told what is being done, ``"photos"`` or ``"pages"``, and which share of it is.

    Returns
    -------
    bytes
        The same for the same arguments, on any machine.

    Raises
    ------
    LapwrightError
        ``paper_picture``: a drawing is no SVG. ``paper_failed``: the pages could not be set.
    """
    tell = progress or (lambda _doing, _share: None)
    seconds = int(datetime.fromisoformat(document.made_at).timestamp())
    pictures = [block for block in blocks_of(document) if isinstance(block, Picture)]
    with TemporaryDirectory(prefix="lapwright-") as name:
        folder = Path(name)
        shown, missing = _photos_into(folder, document, photos, tell)
        files = Files(text_width(document), _pictures_into(folder, pictures), shown, missing)
        told = set_document(document, files) | {"attached": _attached_into(folder, attached)}
        (folder / "paper.json").write_text(json.dumps(told, ensure_ascii=False), encoding="utf-8")
        shutil.copyfile(_HERE / "templates" / "paper.typ", folder / "paper.typ")
        del told  # a tenth of the memory, not needed while the pages are set
        tell("pages", 0.0)
        content = _press(folder, seconds, {files.pictures[each.svg]: each for each in pictures})
    tell("pages", 1.0)
    return content
