"""How long the papers of a big job take, and how much memory: 100 miles of seam, 300 photos.

    python bench/paper.py --miles 100 --photos 300

The job of bench/trace.py in a SQLite store, with photos of 12 megapixels beside its strips.
Prints, for the close-out of the job and for the sheet of its middle day: seconds to read the
chain, to work out the paper, to scale its photos and to set its pages; pages, bytes, and the most
memory that the program and the typesetter, which runs beside it, took. Each paper is made by a
process of its own.
"""

from __future__ import annotations

import argparse
import random
import resource
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from trace import facts  # of the script beside this one

import pikepdf
from PIL import Image, ImageChops

from lapwright.handover.making import made_now, make_paper
from lapwright.record.fact import Fact
from lapwright.report.figures import Reader
from lapwright.store import open_store

TWELVE = (4032, 3024)  # px
BATCH = 5000  # facts kept at once
NOW = "2027-05-04T13:06:00Z"


def photos_into(folder: Path, count: int) -> None:
    """Photos of 12 megapixels, about as rough as those of a roof, and no two alike."""
    rng = random.Random(0)
    small = Image.frombytes("RGB", (252, 189), rng.randbytes(252 * 189 * 3))
    rough = Image.frombytes("L", TWELVE, rng.randbytes(TWELVE[0] * TWELVE[1]))
    large = small.resize(TWELVE, Image.Resampling.BICUBIC)
    blended = Image.blend(large, Image.merge("RGB", [rough] * 3), 0.08)
    for number in range(count):
        moved = ImageChops.offset(blended, 13 * number, 0)
        moved.save(folder / f"{number}.jpg", quality=85)


def job(*, miles: float, photos: int, seed: int) -> Iterator[Fact]:
    """The facts, with a photo behind each so manieth strip."""
    made = list(facts(miles=miles, seed=seed))
    strips = [fact for fact in made if fact.kind == "strip"]
    every = max(1, len(strips) // photos) if photos else 0
    shown = {fact.id for fact in strips[::every][:photos]} if photos else set()
    at, name = made[0].at, f"{len(made) + 1:08x}-0000-7000-8000-00000000000"
    yield Fact(f"{name}0", made[0].job, "job", at, at, "", "local", "bench",
               {"name": "100 miles", "invented": True})  # fmt: skip
    taken = 0
    for fact in made:
        yield fact
        if fact.id in shown:
            body = {"of": fact.id, "file": f"{taken:064x}"}
            yield Fact(f"{taken:08x}-0000-7000-8000-00000000000f", fact.job, "photo", fact.at,
                       fact.at, "", "local", "bench", body)  # fmt: skip
            taken += 1


def fill(folder: Path, *, miles: float, photos: int, seed: int) -> int:
    """Keep the job in a store; how many facts it has."""
    with closing(open_store(str(folder / "store.db"))) as store:
        kept = list(job(miles=miles, photos=photos, seed=seed))
        for start in range(0, len(kept), BATCH):
            store.ledger.append(kept[0].job, kept[start : start + BATCH], received_at=NOW)
    photos_into(folder, photos)
    return len(kept)


def measure(folder: Path, of: str) -> None:
    """Make one paper in this process and print what it took."""
    began = perf_counter()
    with closing(open_store(str(folder / "store.db"))) as store:
        entries = list(store.ledger.since(store.ledger.jobs()[0]))
    read = perf_counter()
    days = sorted({entry.fact.day for entry in entries})
    day = days[len(days) // 2] if of == "day" else None
    made = made_now(entries, Reader("en", "us"), day=day)
    steps: dict[str, float] = {}

    def tell(doing: str, _share: float) -> None:
        steps.setdefault(doing, perf_counter())

    paper = make_paper(
        entries,
        made,
        photos=lambda file: (folder / f"{int(file, 16)}.jpg").read_bytes(),
        progress=tell,
    )
    end = perf_counter()
    (folder / f"{of}.pdf").write_bytes(paper.content)
    pages, photos = steps["pages"], steps.get("photos", steps["pages"])
    with pikepdf.open(BytesIO(paper.content)) as pdf:
        told = len(pdf.pages)
    print(f"{of}: read {read - began:.1f} s, worked out {photos - read:.1f} s, "
          f"photos {pages - photos:.1f} s, pages {end - pages:.1f} s, "
          f"together {end - began:.1f} s")  # fmt: skip
    print(f"  {told} pages, {len(paper.content) / 1e6:.1f} MB; most memory: "
          f"{_peak(resource.RUSAGE_SELF):.0f} MiB here, "
          f"{_peak(resource.RUSAGE_CHILDREN):.0f} MiB for the typesetter")  # fmt: skip


def _peak(who: int) -> float:
    return resource.getrusage(who).ru_maxrss / 1024  # MiB, as Linux counts


def main() -> None:
    """Keep the job, then make each paper in a fresh process."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--miles", type=float, default=100.0)
    parser.add_argument("--photos", type=int, default=300)
    parser.add_argument("--seed", type=int, default=6)
    parser.add_argument("--keep", type=Path, help="folder to leave the store and the papers in")
    parser.add_argument("--of", choices=("job", "day"), help="only this paper, of a kept store")
    asked = parser.parse_args()
    if asked.of:
        measure(asked.keep, asked.of)
        return
    with TemporaryDirectory() as name:
        folder = asked.keep or Path(name)
        folder.mkdir(exist_ok=True)
        count = fill(folder, miles=asked.miles, photos=asked.photos, seed=asked.seed)
        print(f"{count} facts, {asked.miles:g} miles, {asked.photos} photos, seed {asked.seed}")
        for of in ("day", "job"):
            again = [sys.executable, __file__, "--keep", str(folder), "--of", of]
            subprocess.run(again, check=True)


if __name__ == "__main__":
    main()
