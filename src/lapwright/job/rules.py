"""The job's rules: sources conflict, so a job names its own, in layers.

One table says which rules exist, what they measure and which way is stricter. Layers
of clauses are merged rule by rule: the stricter clause governs, the others stay visible
beside it. A default of lapwright has no authority: it governs only where no layer
speaks. Files and units are not known here, see :mod:`lapwright.readings.rules`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from lapwright.cautions import Caution
from lapwright.errors import LapwrightError

Layer = Literal["code", "specification", "sheet_maker", "insurer", "company", "default"]
LAYERS: tuple[Layer, ...] = (
    "code",
    "specification",
    "sheet_maker",
    "insurer",
    "company",
    "default",
)  # the order only settles which of two equal clauses is cited

Quantity = Literal[
    "temperature",  # K
    "temperature_change",  # K; a difference, converts without the zero of its scale
    "length",  # m
    "time",  # s
    "speed",  # m/s
    "power",  # W
    "wire",  # m2; cross-section of one conductor
    "share",  # 0 to 1
    "peel",  # N/m
    "count",
    "switch",  # 1 on, 0 off
]
Stricter = Literal["higher", "lower"]  # for a switch, higher is on
Urgency = Literal["halt", "due", "ask", "notice"]


@dataclass(frozen=True)
class RuleKind:
    """One row of the table of rules.

    Parameters
    ----------
    name : str
        Key of the rule in files, and of its sentences under ``[rule]``.
    quantity : str
        What it measures, SI inside: one of :data:`Quantity`.
    stricter : {"higher", "lower"}
        Which of two values binds more.
    urgency : str, optional
        Set for a trigger of test welds: the chain halts, a test is due, somebody must be
        asked, or it is only a notice.
    """

    name: str
    quantity: Quantity
    stricter: Stricter
    urgency: Urgency | None = None


_TABLE: tuple[RuleKind, ...] = (
    # power
    RuleKind("generator_power", "power", "higher"),
    RuleKind("generator_dedicated", "switch", "higher"),
    RuleKind("cord_wire", "wire", "higher"),
    RuleKind("cord_length", "length", "lower"),
    RuleKind("cord_wire_hand", "wire", "higher"),
    RuleKind("cord_length_hand", "length", "lower"),
    RuleKind("volts_lost", "share", "lower"),
    RuleKind("warm_up", "time", "higher"),
    # weather and sheet
    RuleKind("ambient_lowest", "temperature", "higher"),
    RuleKind("ambient_highest", "temperature", "lower"),
    RuleKind("cold_caution", "temperature", "higher"),
    RuleKind("cold_extra_tests", "temperature", "higher"),
    RuleKind("roll_store", "temperature", "higher"),
    RuleKind("dew_margin", "temperature_change", "higher"),
    RuleKind("sheet_relaxed", "time", "higher"),
    RuleKind("adhesive_clear", "length", "higher"),
    # setting
    RuleKind("air_lowest", "temperature", "higher"),
    RuleKind("air_highest", "temperature", "lower"),
    RuleKind("speed_lowest", "speed", "higher"),
    RuleKind("speed_highest", "speed", "lower"),
    # lap, test weld, strip
    RuleKind("lap_side", "length", "higher"),
    RuleKind("lap_end", "length", "higher"),
    RuleKind("fused_width", "length", "higher"),
    RuleKind("fused_width_hand", "length", "higher"),
    RuleKind("test_weld_length", "length", "higher"),
    RuleKind("test_weld_strips", "count", "higher"),
    RuleKind("conditions_age", "time", "lower"),
    RuleKind("strip_cooling", "time", "higher"),
    RuleKind("water_dip", "switch", "lower"),
    RuleKind("band_evenness", "length", "lower"),
    RuleKind("grade_only", "switch", "lower"),
    RuleKind("peel_strength", "peel", "higher"),
    RuleKind("fails_to_stop", "count", "lower"),
    RuleKind("passes_to_return", "count", "higher"),
    # probing, cuts, repair
    RuleKind("probe_cooling", "time", "higher"),
    RuleKind("probe_cooling_gap", "temperature_change", "lower"),
    RuleKind("void_depth", "length", "lower"),
    RuleKind("probed_share", "share", "higher"),
    RuleKind("cut_spacing", "length", "lower"),
    RuleKind("repair_same_day", "switch", "higher"),
    # triggers, the more urgent first
    RuleKind("doubt", "switch", "higher", "halt"),
    RuleKind("failed_cut", "switch", "higher", "halt"),
    RuleKind("failed_strip", "switch", "higher", "halt"),
    RuleKind("voids_close", "switch", "higher", "halt"),
    RuleKind("symptom", "switch", "higher", "halt"),
    RuleKind("wet", "switch", "higher", "due"),
    RuleKind("no_pass", "switch", "higher", "due"),
    RuleKind("p_sound_low", "share", "higher", "due"),
    RuleKind("shift_start", "switch", "higher", "due"),
    RuleKind("lunch", "switch", "higher", "due"),
    RuleKind("restart", "switch", "higher", "due"),
    RuleKind("working_temperature", "switch", "higher", "due"),
    RuleKind("power_cut", "switch", "higher", "due"),
    RuleKind("realigned", "switch", "higher", "due"),
    RuleKind("long_stop", "time", "lower", "due"),
    RuleKind("machine_changed", "switch", "higher", "due"),
    RuleKind("nozzle_changed", "switch", "higher", "due"),
    RuleKind("operator_changed", "switch", "higher", "due"),
    RuleKind("generator_changed", "switch", "higher", "due"),
    RuleKind("cord_changed", "switch", "higher", "due"),
    RuleKind("membrane_changed", "switch", "higher", "due"),
    RuleKind("thickness_changed", "length", "lower", "due"),
    RuleKind("colour_changed", "switch", "higher", "due"),
    RuleKind("substrate_changed", "switch", "higher", "due"),
    RuleKind("air_moved", "temperature_change", "lower", "due"),
    RuleKind("sheet_moved", "temperature_change", "lower", "due"),
    RuleKind("wind_changed", "switch", "higher", "due"),
    RuleKind("sun_changed", "switch", "higher", "due"),
    RuleKind("speed_beyond_tested", "switch", "higher", "due"),
    RuleKind("time_since_pass", "time", "lower", "due"),
    RuleKind("cold_day", "time", "lower", "due"),
    RuleKind("not_known", "switch", "higher", "ask"),
    RuleKind("lot_changed", "switch", "higher", "notice"),
    RuleKind("feet_since_pass", "length", "lower", "notice"),
)
RULE_KINDS: dict[str, RuleKind] = {kind.name: kind for kind in _TABLE}
TRIGGERS: dict[str, Urgency] = {kind.name: kind.urgency for kind in _TABLE if kind.urgency}

# A person's distrust, work without any passing test weld and a question nobody
# answered are no matters of opinion between layers.
ALWAYS_ON = ("doubt", "no_pass", "not_known")

# The first may not exceed the second: no setting, day or lap could keep both.
_PAIRS = (
    ("ambient_lowest", "ambient_highest"),
    ("air_lowest", "air_highest"),
    ("speed_lowest", "speed_highest"),
    ("fused_width", "lap_side"),
    ("fused_width", "lap_end"),
)


@dataclass(frozen=True)
class Clause:
    """What one layer says about one rule.

    Parameters
    ----------
    rule : str
        A name of :data:`RULE_KINDS`.
    value : float
        Its value, SI; 1 and 0 for on and off; ``inf`` for a trigger limit that is off.
    typed : float or bool
        The value as written, kept beside the SI value.
    unit : str
        The unit as written; empty for a switch or a count.
    layer : str
        Who speaks: one of :data:`LAYERS`.
    text : str
        The clause, or for a default its source.
    edition, set_by : str
        Edition of the document; who put the rule into the job.
    note : str
        Remark, such as what other sources say.
    file, line : str, int
        Where it is written.
    """

    rule: str
    value: float
    typed: float | bool
    unit: str
    layer: Layer
    text: str
    edition: str
    set_by: str
    note: str = ""
    file: str = ""
    line: int = 0

    @property
    def place(self) -> str:
        """File and line, as ``name:line``."""
        return f"{self.file}:{self.line}"


@dataclass(frozen=True)
class Rule:
    """One rule of a job: the clause that governs, and those that lost to it.

    Parameters
    ----------
    governing : Clause
        The strictest clause of any layer, or a default where no layer speaks.
    losing : tuple of Clause
        The others, strictest first and defaults last. An equal clause is among them.
    """

    governing: Clause
    losing: tuple[Clause, ...] = ()

    @property
    def value(self) -> float:
        """Value of the governing clause, SI."""
        return self.governing.value


@dataclass(frozen=True)
class RuleBook:
    """The rules of one job, merged.

    Parameters
    ----------
    rules : dict of Rule
        By name, in the order of the table. A rule without default that no layer sets,
        such as the side lap, is missing: it is not known, and must be entered.
    cautions : tuple of Caution
        Clauses that somebody recorded and that could not be read, or not be kept together.
    """

    rules: dict[str, Rule]
    cautions: tuple[Caution, ...] = ()

    def __getitem__(self, name: str) -> Rule:
        return self.rules[name]

    def limit(self, name: str) -> float | None:
        """Value of a rule, SI, or None when the job has not set it."""
        return self.rules[name].value if name in self.rules else None

    def is_on(self, name: str) -> bool:
        """Whether a rule asks for anything: a switch at 0 and a limit beyond reach do not."""
        value, kind = self.limit(name), RULE_KINDS[name]
        beyond = kind.quantity != "switch" and kind.stricter == "lower"
        return value is not None and value != (math.inf if beyond else 0.0)


def _rank(clause: Clause) -> tuple[bool, float, int, str, int]:
    higher = RULE_KINDS[clause.rule].stricter == "higher"
    value = -clause.value if higher else clause.value
    default = clause.layer == "default"
    return default, value, LAYERS.index(clause.layer), clause.file, clause.line


def merge(layers: Iterable[Iterable[Clause]]) -> RuleBook:
    """The rules of a job from the layers that speak about it.

    Parameters
    ----------
    layers : iterable of iterable of Clause
        In any order; two layers of the same name are no special case.

    Returns
    -------
    RuleBook
        Per rule the strictest clause governs; a default only where no layer speaks.

    Raises
    ------
    LapwrightError
        ``rule_always_on``: a clause switches off what cannot be. ``rules_contradict``:
        two governing clauses cannot both be kept.

    References
    ----------
    The stricter of several documents governs: common practice, no source.

    Examples
    --------
    >>> spec = Clause("fused_width", 0.038, 38, "mm", "specification", "3.4", "2024", "QL")
    >>> maker = Clause("fused_width", 0.050, 50, "mm", "sheet_maker", "p. 7", "2023", "QL")
    >>> rule = merge([[spec], [maker]])["fused_width"]
    >>> rule.value, rule.governing.text, [clause.text for clause in rule.losing]
    (0.05, 'p. 7', ['3.4'])
    """
    book = strictest(layers)
    clash = contradiction(book)
    if clash is not None:
        raise clash
    return book


def strictest(layers: Iterable[Iterable[Clause]]) -> RuleBook:
    """The rules as :func:`merge` gives them, also where two of them cannot both be kept.

    Raises
    ------
    LapwrightError
        ``rule_always_on``.
    """
    said: dict[str, list[Clause]] = {name: [] for name in RULE_KINDS}
    for clause in (clause for layer in layers for clause in layer):
        if is_always_on(clause):
            raise LapwrightError("rule_always_on", rule=clause.rule, place=clause.place)
        said[clause.rule].append(clause)
    ranked = {name: sorted(clauses, key=_rank) for name, clauses in said.items() if clauses}
    return RuleBook({name: Rule(first, tuple(rest)) for name, (first, *rest) in ranked.items()})


def is_always_on(clause: Clause) -> bool:
    """Whether a clause switches off what cannot be."""
    return clause.rule in ALWAYS_ON and not clause.value


def contradiction(book: RuleBook) -> LapwrightError | None:
    """The first two governing clauses that nobody could keep both, as an error to raise."""
    for one, other in _PAIRS:
        if one in book.rules and other in book.rules:
            low, high = book[one].governing, book[other].governing
            if low.value > high.value:
                return LapwrightError(
                    "rules_contradict",
                    rule=low.rule,
                    typed=f"{low.typed} {low.unit}",
                    place=low.place,
                    other_rule=high.rule,
                    other_typed=f"{high.typed} {high.unit}",
                    other_place=high.place,
                )
    return None
