"""One document is set and printed, by a program of its own that ends with it.

The typesetter remembers every page it ever set: in a server the memory of a large job would
stay taken for good. This file therefore runs alone, and imports nothing of lapwright.

python press.py FOLDER FONTS SECONDS    reads FOLDER/paper.typ, writes FOLDER/paper.pdf
"""

from __future__ import annotations

import sys
from pathlib import Path

import typst

STANDARDS: list[typst.PDFStandard] = ["a-3a", "ua-1"]  # archival with any attachment; accessible


def main(folder: Path, fonts: str, seconds: int) -> str:
    """Print the document in the folder; says what is wrong with it, or nothing."""
    faces = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[fonts]
    )
    try:
        typst.compile(
            folder / "paper.typ",
            folder / "paper.pdf",
            root=folder,
            font_paths=faces,
            pdf_standards=STANDARDS,
            timestamp=seconds,
        )
    except typst.TypstError as error:
        return error.diagnostic
    return ""


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])) or 0)
