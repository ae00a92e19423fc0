"""What a strip can tell, and what it cannot.

A pull grade speaks of the bottom only. The top is spoken of by overheat signs, and
"not looked" is no evidence at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Pull = Literal["cold", "skin", "partial", "full", "break", "split", "invalid"]
Overheat = Literal["none", "signs"]

PULLS: tuple[Pull, ...] = ("cold", "skin", "partial", "full", "break", "split", "invalid")

# What the search for the bottom reads from a grade. A skin bond opened at the faces, so
# it was too cold (or dirty). A sheet that broke beside the weld did not open it. A sheet
# that split within may be too hot, wet or bad: it says nothing of the bottom.
_READS_AS: dict[Pull, int | None] = {
    "cold": 0,
    "skin": 0,
    "partial": 1,
    "full": 2,
    "break": 2,
    "split": None,
    "invalid": None,
}


@dataclass(frozen=True)
class Strip:
    """One strip, cut across a test weld, cooled and pulled in peel.

    Parameters
    ----------
    number : str
        Which strip of its weld, as the crew numbered it.
    pull : str
        Where it came apart: one of :data:`PULLS`.
    overheat : {"none", "signs"} or None
        Heat signs on this strip; None means nobody looked.
    band : float, optional
        Narrowest fused width. [m]
    note : str
        Free text of the crew; never read by the model.
    """

    number: str
    pull: Pull
    overheat: Overheat | None = None
    band: float | None = None
    note: str = ""


@dataclass(frozen=True)
class TestWeld:
    """One test weld: a setting, the conditions it met and its strips.

    Parameters
    ----------
    number : str
        Name of the weld, as the crew numbered it.
    air : float
        Air temperature as set. [K]
    speed : float
        Travel speed. [m/s]
    ambient, sheet : float
        Air temperature on the roof; sheet before the nozzle. [K]
    strips : tuple of Strip
        Strips in the order they were cut.
    measured_air : float, optional
        Air temperature measured in the nozzle mouth; wins over ``air``. [K]
    volts : float, optional
        Volts at the machine under load. [V]
    """

    number: str
    air: float
    speed: float
    ambient: float
    sheet: float
    strips: tuple[Strip, ...]
    measured_air: float | None = None
    volts: float | None = None

    @property
    def true_air(self) -> float:
        """Air temperature the lap met, as far as it is known. [K]"""
        return self.air if self.measured_air is None else self.measured_air

    @property
    def bond_counts(self) -> tuple[int, int, int]:
        """Strips read as cold, partial and full."""
        read = [_READS_AS[strip.pull] for strip in self.strips]
        return read.count(0), read.count(1), read.count(2)

    @property
    def heat_counts(self) -> tuple[int, int]:
        """Strips looked at without and with overheat signs."""
        seen = [strip.overheat for strip in self.strips]
        return seen.count("none"), seen.count("signs")

    @property
    def is_clean(self) -> bool:
        """Every valid strip full, each weld looked at and without a sign."""
        valid = [strip for strip in self.strips if strip.pull != "invalid"]
        full = bool(valid) and all(strip.pull == "full" for strip in valid)
        none, signs = self.heat_counts
        return full and none > 0 and signs == 0


def in_order(welds: tuple[TestWeld, ...]) -> tuple[TestWeld, ...]:
    """Welds by their number, so that the order of rows and files changes nothing.

    Numbers count as numbers (2 before 10); names follow, by the alphabet.

    Examples
    --------
    >>> make = lambda n: TestWeld(n, 700.0, 0.05, 300.0, 300.0, ())
    >>> [weld.number for weld in in_order((make("10"), make("2"), make("A")))]
    ['2', '10', 'A']
    """

    def key(weld: TestWeld) -> tuple[bool, int, str]:
        is_count = weld.number.isascii() and weld.number.isdigit()
        return not is_count, int(weld.number) if is_count else 0, weld.number

    return tuple(sorted(welds, key=key))
