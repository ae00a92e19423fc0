"""What a kind of fact carries: its fields, what each may hold, and how much it is needed.

One table serves the check of an incoming fact, the columns of an export, the page's forms
and the reference page. A value nobody knows is ``None`` and stays so: it is never zero,
never "no".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Need = Literal[
    "must",  # the fact means nothing without it
    "asked",  # somebody must have been asked: present, None when nobody knows
    "day",  # may come later, open until the day is signed off
    "may",
]
Type = Literal[
    "text",  # free text of the crew
    "word",  # one of ``among``
    "words",  # some of ``among``
    "flag",  # true, false; None is not known or not looked
    "count",  # whole number, zero or more
    "measure",  # {"typed": "860", "unit": "f", "how": "set"}; ``among`` holds the units
    "time",  # aware moment, ISO 8601
    "date",
    "ref",  # id of one fact; ``among`` holds the kinds it may name
    "refs",
    "sha256",  # of a file that is kept beside the record
    "json",  # kept whole, read by the version that wrote it
]
How = Literal["set", "displayed", "measured", "estimated", "forecast"]

UNITS: dict[str, tuple[str, ...]] = {  # what a measure of each quantity may be typed in
    "temperature": ("f", "c", "dial"),
    "speed": ("ft_min", "m_min", "dial"),
    "length": ("ft", "m"),
    "width": ("in", "mm"),
    "thickness": ("mil", "mm"),
    "time": ("s", "min", "h"),
    "share": ("percent",),
    "wind": ("mph", "km_h", "m_s"),
    "volts": ("v",),
    "power": ("w", "kw"),
    "force": ("lbf", "n"),
    "peel": ("lbf_in", "n_50mm"),
    "degree": ("deg",),
    "rate": ("in_min", "mm_min"),
    "flow": ("percent", "l_min", "cfm"),
}


@dataclass(frozen=True)
class Field:
    """One field of a kind of fact.

    Parameters
    ----------
    name : str
        Glossary word.
    type : str
        One of :data:`Type`.
    need : {"must", "asked", "day", "may"}
        How much it is needed, see :data:`Need`.
    among : tuple of str
        Words, kinds or units it may hold, by ``type``.
    """

    name: str
    type: Type
    need: Need = "may"
    among: tuple[str, ...] = ()


@dataclass(frozen=True)
class Kind:
    """One kind of fact: its name and its fields."""

    name: str
    fields: tuple[Field, ...]

    def __getitem__(self, name: str) -> Field:
        """The field of a name."""
        return next(field for field in self.fields if field.name == name)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the fields, in order."""
        return tuple(field.name for field in self.fields)


def text(name: str, need: Need = "may") -> Field:
    """Free text."""
    return Field(name, "text", need)


def word(name: str, need: Need, *among: str) -> Field:
    """One word of a list."""
    return Field(name, "word", need, among)


def flag(name: str, need: Need = "may") -> Field:
    """Yes, no, or not known."""
    return Field(name, "flag", need)


def measure(name: str, need: Need, quantity: str) -> Field:
    """A reading with its unit and how it was come by."""
    return Field(name, "measure", need, UNITS[quantity])


def ref(name: str, need: Need, *kinds: str) -> Field:
    """The id of another fact."""
    return Field(name, "ref", need, kinds)
