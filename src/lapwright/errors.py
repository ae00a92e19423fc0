"""Every error raised on purpose: a code and SI data, no sentences.

The words are made at the edge by :func:`lapwright.words.say`, in the reader's
language and units. Doubts that are not failures are data, see ``cautions``.
"""

from __future__ import annotations

from typing import Any


class LapwrightError(Exception):
    """Base of all errors raised on purpose.

    Parameters
    ----------
    code : str
        Key of the message in ``words/*.toml`` under ``[error]``.
    **data
        Values that the message needs, in SI.
    """

    def __init__(self, code: str, **data: Any) -> None:
        super().__init__(code)
        self.code = code
        self.data = data

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, (type(self), self.code, self.data)

    def __str__(self) -> str:
        return self.code + "".join(f" {name}={value!r}" for name, value in self.data.items())


def _again(kind: type[LapwrightError], code: str, data: dict[str, Any]) -> LapwrightError:
    """The error on the other side of a process, whatever its own kind asks for to be raised."""
    error = kind.__new__(kind)
    LapwrightError.__init__(error, code, **data)
    return error


class OutOfRange(LapwrightError):
    """A quantity lies where the model, the machine or nature does not go.

    Parameters
    ----------
    name : str
        Glossary word of the quantity, for example ``"speed"``.
    value : float
        What was given, SI.
    above, below : float, optional
        The open limits it must lie between, SI.
    """

    def __init__(
        self, name: str, value: float, *, above: float | None = None, below: float | None = None
    ) -> None:
        super().__init__("out_of_range", name=name, value=value, above=above, below=below)


class FileUnreadable(LapwrightError):
    """A file, or one place in it, cannot be understood.

    Parameters
    ----------
    code : str
        What is wrong, for example ``"not_a_number"``.
    file : str
        Name of the file as the person gave it.
    row : int, optional
        Line in the file, counted from 1 with the header, as a spreadsheet shows it.
    column : str, optional
        Name of the column.
    value : str, optional
        What stands there.
    **data
        Further values of the message: ``limit``, ``nearest`` and the like.
    """

    def __init__(
        self,
        code: str,
        *,
        file: str,
        row: int | None = None,
        column: str | None = None,
        value: str | None = None,
        **data: Any,
    ) -> None:
        super().__init__(code, file=file, row=row, column=column, value=value, **data)
