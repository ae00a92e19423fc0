"""The frozen record of one decision: everything needed to replay it, as JSON in SI."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

from lapwright.errors import FileUnreadable
from lapwright.window.answer import Answer


def keep(answer: Answer, path: Path) -> None:
    """Write an answer beside the job's papers; an existing file is never overwritten.

    Parameters
    ----------
    answer : Answer
        What was decided on, with its question.
    path : Path
        New file.

    Raises
    ------
    FileUnreadable
        ``already_kept`` when the file exists, ``cannot_write`` when it cannot be made.
    """
    text = json.dumps(asdict(answer), indent=1, ensure_ascii=False)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text + "\n")
    except FileExistsError:
        raise FileUnreadable("already_kept", file=str(path)) from None
    except OSError as error:
        raise FileUnreadable("cannot_write", file=str(path), reason=str(error.strerror)) from None
