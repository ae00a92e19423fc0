"""How long the dossier of a big job takes to print, and how much memory: 100 miles of seam.

    python bench/paper.py --seams 5300 --rows 10000 --photos 300 --days 60 --charts 60

An invented document: a table of seams, a table of runs and probing, for each day a form, a table
and a chart, photos of 12 megapixels. Prints seconds, pages, bytes, and the most memory that the
program and the typesetter, which runs beside it, took.
"""

from __future__ import annotations

import argparse
import random
import resource
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from PIL import Image

from lapwright.report.paper.blocks import (
    Block,
    Document,
    Grid,
    Pairs,
    Picture,
    Section,
    Shot,
    Shots,
    Signature,
    Words,
)
from lapwright.report.paper.paper import Attachment, pdf_of

ROOT = Path(__file__).resolve().parents[1]
TWELVE = (4032, 3024)  # px
KINDS = 20  # photos that differ; the others repeat them
RECORD = 30_000_000  # bytes attached: about 10^5 facts
PER_DAY = 20  # rows of a day's table


def photo(seed: int) -> bytes:
    """A photo of 12 megapixels, about as rough as one of a roof."""
    rng = random.Random(seed)
    small = Image.frombytes("RGB", (252, 189), rng.randbytes(252 * 189 * 3))
    rough = Image.frombytes("L", TWELVE, rng.randbytes(TWELVE[0] * TWELVE[1]))
    large = small.resize(TWELVE, Image.Resampling.BICUBIC)
    grain = Image.merge("RGB", [rough] * 3)
    written = BytesIO()
    Image.blend(large, grain, 0.08).save(written, "JPEG", quality=85)
    return written.getvalue()


def _table(rng: random.Random, rows: int, caption: str) -> Grid:
    """A table as the trace has them; each eighth row has a note of two lines."""
    head = ("seam", "from ft", "to ft", "time", "machine", "by", "state", "note")

    def row(number: int) -> tuple[str, ...]:
        start = rng.uniform(0, 360)
        note = "void, repaired by hand, probed again and held" if number % 8 == 0 else ""
        return (
            f"S{number // 2 + 1}", f"{start:.1f}", f"{start + 40:.1f}",
            f"05-{number % 28 + 1:02} {number % 10 + 7:02}:{number % 60:02}",
            f"M{number % 4 + 1}", rng.choice(("Ana", "Ben", "Carla")),
            rng.choice(("probed", "probed", "cut", "welded")), note,
        )  # fmt: skip

    return Grid(head, tuple(map(row, range(rows))), numbers=(1, 2), caption=caption)


def _day(rng: random.Random, number: int, chart: str | None) -> Section:
    blocks: list[Block] = [
        Pairs((("Machine", "M1, automatic"), ("Crew", "Ana, Ben"), ("Sheet", "85 °F"))),
        _table(rng, PER_DAY, "Test welds"),
        Words("The window was checked after the break.", tone="caution"),
        Signature((("Signed by", "Ana"), ("At", "17:02"))),
    ]
    if chart is not None:
        # a chart is drawn from its day's figures: no two are the same
        svg = chart.replace("</svg>", f"<!-- {number} --></svg>")
        blocks.append(Picture(svg, f"Weld window of day {number}", "The window", 0.9))
    return Section(f"Day {number}", tuple(blocks))


def job(asked: argparse.Namespace) -> Document:
    """The invented document."""
    rng = random.Random(6)
    chart = (ROOT / "docs" / "pictures" / "window.svg").read_text(encoding="utf-8")
    days = tuple(
        _day(rng, number, chart if number <= asked.charts else None)
        for number in range(1, asked.days + 1)
    )
    shots = tuple(
        Shot(f"{number:064x}", f"Strip {number}", f"Strip {number}, full")
        for number in range(asked.photos)
    )
    return Document(
        title="Close-out record",
        lines=("Job 0421",),
        running="Job 0421, invented",
        language="en",
        made_at="2026-08-04T21:06:00Z",
        mark="INVENTED EXAMPLE",
        sections=(
            Section("Seams", (_table(rng, asked.seams, "All seams"),)),
            Section("Trace", (_table(rng, asked.rows, "Runs and probing"),)),
            Section("Days", sections=days),
            Section("Photos", (Shots(shots),) if shots else ()),
        ),
    )


def _peak(who: int) -> float:
    return resource.getrusage(who).ru_maxrss / 1024  # MiB, as Linux counts


def measure(asked: argparse.Namespace, folder: Path) -> None:
    """Print the document once, in this process."""
    at = perf_counter()
    document = job(asked)
    made = perf_counter() - at
    steps: dict[str, float] = {}

    def tell(doing: str, _share: float) -> None:
        steps.setdefault(doing, perf_counter())

    record = Attachment("record.json", b"1" * RECORD, "application/json", "source", "The record")
    at = perf_counter()
    content = pdf_of(
        document,
        photos=lambda file: (folder / f"{int(file, 16) % KINDS}.jpg").read_bytes(),
        attached=(record,),
        progress=tell,
    )
    end = perf_counter()
    (folder / "paper.pdf").write_bytes(content)
    pages = steps["pages"]
    print(f"document {made:.1f} s, photos {pages - steps.get('photos', pages):.1f} s, "
          f"pages {end - pages:.1f} s, together {end - at + made:.1f} s")  # fmt: skip
    print(f"{len(content) / 1e6:.1f} MB; most memory: {_peak(resource.RUSAGE_SELF):.0f} MiB here, "
          f"{_peak(resource.RUSAGE_CHILDREN):.0f} MiB for the typesetter")  # fmt: skip


def main() -> None:
    """Make photos, print, count."""
    parser = argparse.ArgumentParser()
    for name, most in (
        ("seams", 5300), ("rows", 10_000), ("photos", 300), ("days", 60), ("charts", 60)
    ):  # fmt: skip
        parser.add_argument(f"--{name}", type=int, default=most)
    parser.add_argument("--in", dest="folder", type=Path, help="photos lie here already")
    parser.add_argument("--keep", type=Path, help="where to leave the PDF")
    asked = parser.parse_args()
    if asked.folder:
        measure(asked, asked.folder)
        return
    with TemporaryDirectory() as folder:
        for number in range(KINDS if asked.photos else 0):
            (Path(folder) / f"{number}.jpg").write_bytes(photo(number))
        again = [sys.executable, *sys.argv, "--in", folder]  # so that making photos counts nothing
        subprocess.run(again, check=True)
        content = (Path(folder) / "paper.pdf").read_bytes()
    if asked.keep:
        asked.keep.write_bytes(content)


if __name__ == "__main__":
    main()
