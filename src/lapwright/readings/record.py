"""A kept answer comes back in: the frozen record of one decision."""

from __future__ import annotations

from pathlib import Path

from lapwright.errors import FileUnreadable
from lapwright.readings.text import decode, load
from lapwright.window.answer import Answer


def read_answer(path: Path) -> Answer:
    """The answer that ``--keep`` wrote.

    Parameters
    ----------
    path : Path
        File written by :func:`lapwright.report.record.keep`.

    Returns
    -------
    Answer
        Equal to the one kept, to the last digit.

    Raises
    ------
    FileUnreadable
        ``not_an_answer``, or as :func:`lapwright.readings.text.load`.
    """
    from pydantic import TypeAdapter, ValidationError

    content = decode(load(path, file=str(path)), file=str(path))
    try:
        return TypeAdapter(Answer).validate_json(content)
    except ValidationError as error:
        place = ".".join(str(part) for part in error.errors()[0]["loc"])
        raise FileUnreadable("not_an_answer", file=str(path), column=place or "-") from None
