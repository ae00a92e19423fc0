"""Symptom, likely cause, what to do: usable without a log, ranked by one where there is one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from lapwright.job.clues import Clue

Basis = Literal["articles", "practice", "both"]  # what trade articles say; common practice


@dataclass(frozen=True)
class Symptom:
    """One row of the table.

    Parameters
    ----------
    name : str
        Key of its sentence under ``[symptom]``, of what to do under ``[symptom_do]``.
    causes : tuple of str
        Likely causes, the commonest first: keys under ``[cause]``.
    basis : {"articles", "practice", "both"}
        Where the row comes from.
    clues : tuple of str
        Clues that speak for the symptom: ``name`` or ``name:of``.
    """

    name: str
    causes: tuple[str, ...]
    basis: Basis
    clues: tuple[str, ...] = ()


SYMPTOMS: tuple[Symptom, ...] = (
    Symptom(
        "peels_clean",
        ("too_fast", "air_cool", "volts_low", "cold_sheet", "wind", "concrete"),
        "articles",
        ("pull:cold", "defect_type:cold_weld"),
    ),
    Symptom(
        "probes_sound_peels",
        ("skin_bond", "heavy_load", "dirt"),
        "articles",
        ("pull:skin", "defect_type:false_weld"),
    ),
    Symptom(
        "scrim_islands",
        ("dirt", "dew", "nozzle_blocked", "uneven_load", "uneven_support"),
        "articles",
        ("evenness:stripes", "pull:partial", "defect_type:dirt"),
    ),
    Symptom(
        "scrim_one_edge",
        ("nozzle_not_seated", "off_track", "edges_not_in_line"),
        "articles",
        ("evenness:one_edge", "defect_type:off_track", "defect_type:narrow_band"),
    ),
    Symptom(
        "sheet_breaks",
        ("thinned", "gouged", "aged_sheet"),
        "both",
        ("pull:break", "defect_type:thinned_edge"),
    ),
    Symptom(
        "core_splits",
        ("overheated", "moisture_in_scrim", "bad_sheet"),
        "practice",
        ("pull:split", "defect_type:bad_lot"),
    ),
    Symptom("bead_peels", ("too_hot", "heavy_load"), "articles"),
    Symptom(
        "brown_smoke",
        ("too_hot", "too_slow", "paused"),
        "both",
        ("heat_signs", "defect_type:scorch", "defect_type:corner_overheated"),
    ),
    Symptom(
        "wavy_lip",
        ("not_relaxed", "stored_in_waves", "tension"),
        "both",
        ("defect_type:wrinkle", "defect_type:fishmouth", "defect_type:tension"),
    ),
    Symptom("groove", ("misaligned",), "articles", ("defect_type:welder_drag",)),
    Symptom(
        "voids_spaced",
        ("roller_flat", "roller_dirt"),
        "practice",
        ("even_spacing", "defect_type:roller_mark"),
    ),
    Symptom(
        "voids_at_t_joints",
        ("not_creased",),
        "articles",
        ("at_t_joints", "defect_type:step_void", "defect_type:water_channel"),
    ),
    Symptom(
        "voids_since",
        ("cloud", "wind", "sun_gone", "shared_generator", "power_changed"),
        "articles",
        ("since_time",),
    ),
    Symptom("bad_starts", ("not_warm", "nozzle_late"), "practice",
            ("at_starts", "defect_type:bad_start")),
    Symptom(
        "old_sheet",
        ("weathered", "dirt", "plasticiser_lost"),
        "articles",
        ("aged", "defect_type:aged_sheet"),
    ),
    Symptom("one_persons_seams", ("technique", "gun_off"), "articles",
            ("one_operator", "one_machine")),
    Symptom(
        "hiss",
        ("dew", "rain", "wet_cleaner"),
        "articles",
        ("wet", "defect_type:moisture", "defect_type:blister"),
    ),
)  # fmt: skip
BY_NAME = {symptom.name: symptom for symptom in SYMPTOMS}

_CAUSES: dict[str, tuple[str, ...]] = {  # clues that speak for a cause
    "volts_low": ("volts_low",),
    "wind": ("wind:breezy", "wind:strong", "changed_before:wind"),
    "concrete": ("concrete", "changed_before:substrate"),
    "aged_sheet": ("aged",),
    "weathered": ("aged",),
    "dew": ("wet",),
    "rain": ("wet",),
    "dirt": ("defect_type:dirt",),
    "moisture_in_scrim": ("wet", "defect_type:moisture"),
    "bad_sheet": ("defect_type:bad_lot",),
    "cloud": ("changed_before:sun",),
    "sun_gone": ("changed_before:sun",),
    "power_changed": ("changed_before:power", "changed_before:power_cut"),
    "shared_generator": ("volts_low",),
    "skin_bond": ("pull:skin",),
    "too_hot": ("heat_signs",),
    "overheated": ("heat_signs",),
    "thinned": ("defect_type:thinned_edge",),
    "off_track": ("defect_type:off_track",),
    "roller_flat": ("even_spacing",),
    "technique": ("one_operator",),
    "gun_off": ("one_machine",),
}


@dataclass(frozen=True)
class Likely:
    """A symptom with the clues that speak for it.

    Parameters
    ----------
    symptom : Symptom
        The row.
    clues : tuple of Clue
        What in the record speaks for it or one of its causes; empty without a log.
    causes : tuple of (str, bool)
        Its causes, those that a clue speaks for first and marked True.
    """

    symptom: Symptom
    clues: tuple[Clue, ...]
    causes: tuple[tuple[str, bool], ...]


def likely(name: str | None = None, *, clues: Iterable[Clue] = ()) -> tuple[Likely, ...]:
    """The symptom somebody sees, or those that the record speaks of.

    Parameters
    ----------
    name : str, optional
        What somebody sees: a key of :data:`BY_NAME`. Unless said, every symptom that a clue
        speaks for; all of them where none does.
    clues : iterable of Clue
        From the record, see :func:`lapwright.job.clues.clues`.

    Returns
    -------
    tuple of Likely
        The one with most clues first; equal ones in the order of the table.

    Raises
    ------
    KeyError
        No such symptom.

    Examples
    --------
    >>> [cause for cause, _ in likely("groove")[0].causes]
    ['misaligned']
    >>> likely(clues=[Clue("even_spacing")])[0].symptom.name
    'voids_spaced'
    """
    found = list(clues)
    rows = SYMPTOMS if name is None else (BY_NAME[name],)
    told = [_likely(row, found) for row in rows]
    if name is None and any(each.clues for each in told):
        told = [each for each in told if each.clues and _speaks(each.symptom.clues, each.clues)]
    return tuple(sorted(told, key=lambda each: -len(each.clues)))


def _likely(row: Symptom, clues: list[Clue]) -> Likely:
    spoken = [
        clue for clue in clues if _speaks(row.clues, [clue])
        or any(_speaks(_CAUSES.get(cause, ()), [clue]) for cause in row.causes)
    ]  # fmt: skip
    marked = [(cause, _speaks(_CAUSES.get(cause, ()), clues)) for cause in row.causes]
    return Likely(row, tuple(spoken), tuple(sorted(marked, key=lambda each: not each[1])))


def _speaks(keys: Iterable[str], clues: Iterable[Clue]) -> bool:
    said = {key for clue in clues for key in (clue.name, f"{clue.name}:{clue.of}")}
    return not said.isdisjoint(keys)
