"""Do people grade the same strip alike? Counts first; an index only from enough strips.

Names leave this file only when they are asked for, in the order of the alphabet: who differs
is not who is wrong, and there is no ranking.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError
from lapwright.proof.agreement import Kappa, Table, cohen, confusion, fleiss
from lapwright.record.replay import Record

ENOUGH = 20  # strips graded twice, from which an index is told; job rule, our choice
CANNOT_TELL = "cannot_tell"  # an answer of its own, like no grade
ORDERED = ("cold", "partial", "full")  # grades that lie in a row, one step apart
HEAT_LOOKS = ("clear", "bare_scrim", "grey_core", "glaze", "scorch", "bubbles")
GRADES = (
    "cold", "skin", "partial", "split", "break", "full", "invalid", *HEAT_LOOKS, CANNOT_TELL,
)  # fmt: skip


@dataclass(frozen=True)
class Look:
    """What one person said of one strip.

    Parameters
    ----------
    strip, grader : str
        Which strip, and who.
    grade : str
        One of :data:`GRADES`.
    """

    strip: str
    grader: str
    grade: str


@dataclass(frozen=True)
class Own:
    """One grader beside the others; for the quality lead alone.

    Parameters
    ----------
    grader : str
        Who.
    same, of : int
        Grades that another person gave the same strip too, and grades set side by side.
    """

    grader: str
    same: int
    of: int


@dataclass(frozen=True)
class Agreement:
    """Strips that at least two people graded, side by side.

    Parameters
    ----------
    graders : int
        People at each of these strips.
    strips, same : int
        Strips that all of them graded, and those that all graded alike.
    near : int or None
        Of two graders: strips one step apart among cold, partial, full.
    unsure : int
        Strips of which somebody said that they cannot tell.
    left_out : int
        Strips that not all of them graded.
    grades : tuple of str
        Grades that occur, in the order of the table.
    table : tuple of tuple of int, optional
        First look in rows, second in columns; None with three graders and more.
    kappa, weighted : Kappa, optional
        Beyond chance: of two, plain and over cold, partial, full with near misses forgiven.
    several : float, optional
        Fleiss' kappa of three graders and more.
    own : tuple of Own
        Each grader beside the others, by name.
    cautions : tuple of Caution
        Why an index is missing, and what agreeing does not show.
    """

    graders: int
    strips: int
    same: int
    near: int | None
    unsure: int
    left_out: int
    grades: tuple[str, ...]
    table: Table | None
    kappa: Kappa | None
    weighted: Kappa | None
    several: float | None
    own: tuple[Own, ...]
    cautions: tuple[Caution, ...]


def agreement(looks: Iterable[Look]) -> Agreement:
    """Everybody's grades side by side.

    Raises
    ------
    LapwrightError
        ``graded_twice``: one person, one strip, two grades. ``nothing_twice``: no strip
        has grades of two people.
    """
    strips: dict[str, dict[str, str]] = {}
    for look in looks:
        mine = strips.setdefault(look.strip, {})
        if look.grader in mine:
            raise LapwrightError("graded_twice", strip=look.strip, grader=look.grader)
        mine[look.grader] = look.grade
    graders = tuple(dict.fromkeys(who for grades in strips.values() for who in grades))
    whole = [grades for grades in strips.values() if len(grades) == len(graders) > 1]
    if not whole:
        raise LapwrightError("nothing_twice")
    side_by_side = [tuple(grades[who] for who in graders) for grades in whole]
    return _agreement(side_by_side, own=_own(strips.values()), left_out=len(strips) - len(whole))


def agreement_on_record(record: Record) -> Agreement:
    """First looks against second looks at the strips of a job (job.md 5.4).

    A second look by the person of the first is none and stays out.

    Raises
    ------
    LapwrightError
        ``nothing_twice``: no strip was graded by a second person.
    """
    firsts: dict[tuple[str, str], tuple[str, str]] = {}
    seconds: dict[tuple[str, str], tuple[str, str]] = {}
    for fact in record.all("strip"):
        side = seconds if fact["second_look"] else firsts
        side.setdefault((fact["of"], fact["number"]), (fact.by, fact["pull"]))
    both = [
        (firsts[strip], second)
        for strip, second in seconds.items()
        if strip in firsts and firsts[strip][0] != second[0]
    ]
    if not both:
        raise LapwrightError("nothing_twice")

    people = {person.id: str(person["name"]) for person in record.all("person")}
    pairs = [(first[1], second[1]) for first, second in both]
    own = _own(map(dict, both), names=people)
    return _agreement(pairs, own=own, left_out=len(seconds) - len(both))


def _own(
    strips: Iterable[dict[str, str]], *, names: Mapping[str, str] | None = None
) -> tuple[Own, ...]:
    same: dict[str, int] = {}
    of: dict[str, int] = {}
    for grades in strips:
        for one, other in combinations(grades, 2):
            for who in (one, other):
                of[who] = of.get(who, 0) + 1
                same[who] = same.get(who, 0) + (grades[one] == grades[other])
    called = names or {}
    own = (Own(called.get(who, who), same[who], of[who]) for who in of)
    return tuple(sorted(own, key=lambda one: one.grader))


def _agreement(
    strips: Sequence[tuple[str, ...]], *, own: tuple[Own, ...], left_out: int
) -> Agreement:
    graders = len(strips[0])
    grades = tuple(grade for grade in GRADES if any(grade in each for each in strips))
    pairs = [(each[0], each[1]) for each in strips] if graders == 2 else []
    ordered = [pair for pair in pairs if set(pair) <= set(ORDERED)]
    enough = len(strips) >= ENOUGH
    table = confusion(pairs, grades) if pairs else None
    kappa = cohen(table) if table and enough and len(grades) > 1 else None
    weighted = cohen(confusion(ordered, ORDERED), weighted=True) if len(ordered) >= ENOUGH else None
    counts = [[each.count(grade) for grade in grades] for each in strips]
    several = fleiss(counts) if graders > 2 and enough else None
    return Agreement(
        graders=graders,
        strips=len(strips),
        same=sum(len(set(each)) == 1 for each in strips),
        near=sum(_steps(pair) == 1 for pair in ordered) if pairs else None,
        unsure=sum(CANNOT_TELL in each for each in strips),
        left_out=left_out,
        grades=grades,
        table=table,
        kappa=kappa,
        weighted=weighted,
        several=several,
        own=own,
        cautions=_cautions(len(strips), has_index=kappa is not None or several is not None),
    )


def _steps(pair: tuple[str, str]) -> int:
    return abs(ORDERED.index(pair[0]) - ORDERED.index(pair[1]))


def _cautions(strips: int, *, has_index: bool) -> tuple[Caution, ...]:
    about = Caution("alike_not_right")
    if has_index:
        return (about,)
    if strips < ENOUGH:
        return (Caution("few_graded", {"have": str(strips), "need": str(ENOUGH)}), about)
    return (Caution("one_grade_only"), about)
