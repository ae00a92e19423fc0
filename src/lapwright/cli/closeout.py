"""``lapwright closeout``: the paper of a job, or of a day, with the record inside it."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.progress import Progress

from lapwright.cli.keep import chosen_job, opened_store, to_write
from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.handover.making import Paper, made_now, make_paper
from lapwright.readings.text import decode, load
from lapwright.report.dossier.cover import open_rows
from lapwright.report.dossier.telling import Teller
from lapwright.report.figures import Reader

_UNFIT = re.compile(r"[^a-z0-9]+")


@click.command("closeout")
@click.option("--day", help="Only this day, as 2026-05-04: a sheet of a few pages.")
@click.option("--out", type=click.Path(), help="File to write; named after the job unless said.")
@click.option("--replace", is_flag=True, help="Write over a file that is there.")
@click.option("--key", type=click.Path(), help="Sign it with this key: .pem or .p12.")
@click.option(
    "--rules", multiple=True, type=click.Path(), help="Rule file, on top of the record's."
)
@click.option("--job", help="Id of the job or the beginning of it; the only one unless said.")
@store_option
@reader_options
@click.option("--json", "as_json", is_flag=True, help="What was written, as one JSON object.")
def closeout_command(
    day: str | None,
    out: str | None,
    replace: bool,
    key: str | None,
    rules: tuple[str, ...],
    job: str | None,
    store: str,
    units: Any,
    lang: Any,
    as_json: bool,
) -> None:
    """Write the close-out record of a job, or the sheet of a day, as a PDF to keep."""
    reader = Reader(lang, units)
    try:
        texts = [
            (Path(file).name, decode(load(Path(file), file=file), file=file)) for file in rules
        ]
        with opened_store(store, reader) as opened:
            chosen = chosen_job(opened, job)
            entries = list(opened.ledger.since(chosen))
            made = made_now(entries, reader, day=day, rules=texts)
            with _told(reader) as tell:
                paper = make_paper(entries, made, photos=opened.photos.get, progress=tell)
            file = out or _file_name(opened.ledger.name(chosen) or chosen, day)
        content = paper.content if key is None else _signed(paper.content, key, reader)
        with to_write(file, replace=replace) as new:
            new.write(content)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    _say(paper, file, reader, as_json=as_json)


@contextmanager
def _told(reader: Reader) -> Iterator[Any]:
    """A bar on a terminal, nothing elsewhere."""
    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        tasks = {doing: bar.add_task(reader.say("pdf", f"doing_{doing}"), total=1.0)
                 for doing in ("photos", "pages")}  # fmt: skip
        yield lambda doing, share: bar.update(tasks[doing], completed=share)


def _file_name(name: str, day: str | None) -> str:
    """The job's name in letters that every file system takes."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return f"{_UNFIT.sub('-', plain).strip('-')[:60] or 'job'}-{day or 'closeout'}.pdf"


def _signed(content: bytes, file: str, reader: Reader) -> bytes:
    from lapwright.cli.key import opened_key
    from lapwright.handover.signing import signed

    return signed(content, key=opened_key(file, reader), about=reader.say("pdf", "signature"))


def _say(paper: Paper, file: str, reader: Reader, *, as_json: bool) -> None:
    teller = Teller(paper.closeout, reader)
    head = paper.closeout.head
    left = open_rows(teller)
    if as_json:
        said = {
            "file": file,
            "bytes": len(paper.content),
            "entries": 0 if head is None else head.seq,
            "hash": None if head is None else head.hash,
            "open": dict(left),
        }
        click.echo(json.dumps(said, ensure_ascii=False))
        return
    click.echo(reader.say("label", "paper_written", {"file": file}))
    if head is not None:
        click.echo(reader.say("label", "paper_head", {"entries": head.seq, "hash": head.hash}))
    for name, much in left:
        click.echo(f"  {name}: {much}")
