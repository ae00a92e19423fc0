"""Rules of a job: which exist, and how layers merge."""

import math
from dataclasses import replace

import pytest

from lapwright.errors import LapwrightError
from lapwright.job.rules import ALWAYS_ON, RULE_KINDS, TRIGGERS, Clause, merge


def clause(rule: str, value: float, layer: str = "specification", line: int = 1) -> Clause:
    """One invented clause."""
    return Clause(
        rule, value, value, "", layer, "3.1", "2026", "QL", file=f"{layer}.toml", line=line
    )


def test_triggers_stand_in_order_of_urgency() -> None:
    """The table of triggers is sorted: halt before due before ask before notice."""
    order = ["halt", "due", "ask", "notice"]
    ranks = [order.index(urgency) for urgency in TRIGGERS.values()]
    assert ranks == sorted(ranks)
    assert set(TRIGGERS.values()) == set(order)


@pytest.mark.parametrize(
    ("rule", "loose", "strict"),
    [
        ("generator_power", 6500.0, 10000.0),  # two guides of the trade disagree: 6.5 and 10 kW
        ("cord_wire", 3.3e-6, 5.3e-6),  # 12 and 10 AWG: the thicker conductor binds
        ("cold_caution", 277.6, 280.4),  # 40 and 45 F: caution that starts earlier binds
        ("fused_width", 0.020, 0.038),  # 20 mm and 1.5 in
        ("cord_length", 60.0, 30.0),
        ("void_depth", 0.006, 0.003),
        ("long_stop", 3600.0, 1800.0),  # 60 and 30 min: the sooner test binds
        ("lunch", 0.0, 1.0),  # a trigger that one layer wants on is on
        ("water_dip", 1.0, 0.0),  # what one layer forbids is forbidden
        ("air_moved", math.inf, 5.6),  # a limit switched off loses to any limit
    ],
)
def test_the_stricter_clause_governs(rule: str, loose: float, strict: float) -> None:
    """The stricter of two layers governs, whichever comes first; the other stays visible."""
    one, other = clause(rule, loose, "code"), clause(rule, strict, "company")
    for layers in ([[one], [other]], [[other], [one]], [[one, other]]):
        book = merge(layers)
        assert book[rule].governing == other
        assert book[rule].losing == (one,)
        assert book.limit(rule) == strict


@pytest.mark.parametrize("layer", ["code", "specification", "sheet_maker", "insurer", "company"])
def test_a_default_yields_to_every_layer(layer: str) -> None:
    """A default of lapwright has no authority, though stricter; it is shown last."""
    default = clause("fused_width", 0.038, "default")
    own, losing = clause("fused_width", 0.030, layer), clause("fused_width", 0.020, layer)
    rule = merge([[default], [losing], [own]])["fused_width"]
    assert rule.value == 0.030
    assert rule.losing == (losing, default)


def test_equal_clauses_cite_the_higher_authority() -> None:
    """Of two equal clauses the code is cited before the company, the other stays visible."""
    company, code = clause("lunch", 1.0, "company"), clause("lunch", 1.0, "code")
    assert merge([[company], [code]])["lunch"].governing == code


@pytest.mark.parametrize("rule", ALWAYS_ON)
def test_what_cannot_be_switched_off(rule: str) -> None:
    """No layer switches off a person's doubt, missing proof or an open question."""
    on, off = clause(rule, 1.0), replace(clause(rule, 0.0, "company"), line=7)
    assert merge([[on]]).is_on(rule)
    with pytest.raises(LapwrightError) as caught:
        merge([[on], [off]])
    assert caught.value.code == "rule_always_on"
    assert caught.value.data == {"rule": rule, "place": "company.toml:7"}


@pytest.mark.parametrize("rule", [name for name in TRIGGERS if name not in ALWAYS_ON])
def test_every_other_trigger_can_be_switched_off(rule: str) -> None:
    """A layer may switch any other trigger off against a default."""
    off = math.inf if RULE_KINDS[rule].stricter == "lower" else 0.0
    assert merge([[clause(rule, 1.0, "default")], [clause(rule, off)]])[rule].value == off


@pytest.mark.parametrize(
    ("low", "high"),
    [
        ("air_lowest", "air_highest"),
        ("speed_lowest", "speed_highest"),
        ("ambient_lowest", "ambient_highest"),
        ("fused_width", "lap_side"),
        ("fused_width", "lap_end"),
    ],
)
def test_a_least_above_a_most_is_a_contradiction(low: str, high: str) -> None:
    """Two clauses that nobody can keep are refused with both places; equal ones are kept."""
    least, most = clause(low, 2.0, "sheet_maker", 4), clause(high, 1.0, "insurer", 9)
    with pytest.raises(LapwrightError) as caught:
        merge([[least], [most]])
    assert caught.value.code == "rules_contradict"
    assert caught.value.data["rule"] == low
    assert caught.value.data["other_rule"] == high
    assert caught.value.data["place"] == "sheet_maker.toml:4"
    assert caught.value.data["other_place"] == "insurer.toml:9"
    assert merge([[least], [replace(most, value=2.0)]])[high].value == 2.0


def test_ranges_that_overlap_merge_to_their_overlap() -> None:
    """Two air ranges that overlap leave what both allow."""
    maker = [
        clause("air_lowest", 700.0, "sheet_maker"),
        clause("air_highest", 800.0, "sheet_maker"),
    ]
    spec = [clause("air_lowest", 750.0), clause("air_highest", 850.0)]
    book = merge([maker, spec])
    assert (book.limit("air_lowest"), book.limit("air_highest")) == (750.0, 800.0)


def test_a_rule_nobody_set_is_not_known() -> None:
    """A rule without clause has no limit and, as a switch, is off."""
    book = merge([])
    assert book.limit("lap_side") is None
    assert not book.is_on("water_dip")
