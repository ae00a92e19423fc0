"""Facts from a file: one fact a line, as JSON."""

from __future__ import annotations

import json
from pathlib import Path

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.readings.text import decode, load
from lapwright.record.fact import Fact, read_fact


def read_facts(path: Path) -> list[Fact]:
    """Facts of a JSON Lines file, each checked as a server checks it.

    Parameters
    ----------
    path : Path
        The file; empty lines count for nothing.

    Raises
    ------
    FileUnreadable
        ``fact_line`` with line and field, or as :func:`lapwright.readings.text.load`.
    """
    name = str(path)
    lines = decode(load(path, file=name), file=name).splitlines()
    return [_fact(line, name, row) for row, line in enumerate(lines, start=1) if line.strip()]


def _fact(line: str, name: str, row: int) -> Fact:
    try:
        return read_fact(json.loads(line))
    except (ValueError, RecursionError):
        raise FileUnreadable("fact_line", file=name, row=row, column="JSON") from None
    except LapwrightError as error:
        field = str(error.data.get("field", error.data.get("kind", "kind")))
        raise FileUnreadable("fact_line", file=name, row=row, column=field) from None
