"""Values of rules in the reader's units."""

from __future__ import annotations

import math

import pytest

from lapwright.job.rules import RULE_KINDS, TRIGGERS
from lapwright.report.figures import Reader
from lapwright.report.rulefigures import by_topic, field_value

US, METRIC = Reader(), Reader(units="metric")


def test_every_rule_has_one_topic_and_triggers_their_own() -> None:
    """Topics take the table apart without loss; the triggers are the last."""
    groups = by_topic(RULE_KINDS)
    assert [name for names in groups.values() for name in names] == list(RULE_KINDS)
    assert groups["triggers"] == list(TRIGGERS)
    assert groups["weather"][0] == "ambient_lowest"


@pytest.mark.parametrize(
    ("rule", "value", "us", "metric"),
    [
        ("ambient_lowest", 277.594, (40.0, "f"), (4.44, "c")),
        ("air_moved", 10 / 1.8, (10.0, "f"), (5.56, "c")),  # a difference: without the 32
        ("fused_width", 0.0508, (2.0, "in"), (50.8, "mm")),
        ("cord_length", 30.48, (100.0, "ft"), (30.5, "m")),
        ("thickness_changed", 0.000254, (10.0, "mil"), (0.254, "mm")),
        ("long_stop", 1800.0, (30.0, "min"), (30.0, "min")),
        ("time_since_pass", 14400.0, (4.0, "h"), (4.0, "h")),
        ("speed_highest", 0.0508, (10.0, "ft_min"), (3.05, "m_min")),
        ("generator_power", 6500.0, (6.5, "kw"), (6.5, "kw")),
        ("volts_lost", 0.03, (3.0, "percent"), (3.0, "percent")),
        # 300 N/50 mm is 34 lbf/in: a German handbook's example beside its own conversion.
        ("peel_strength", 6000.0, (34.3, "lbf_in"), (300.0, "n_50mm")),
        ("test_weld_strips", 2.0, (2.0, ""), (2.0, "")),
    ],
)
def test_values_are_written_in_the_readers_unit(
    rule: str, value: float, us: tuple[float, str], metric: tuple[float, str]
) -> None:
    """Each quantity has one unit per system; NIST conversions, three digits."""
    kind = RULE_KINDS[rule]
    assert field_value(kind, value, US) == us
    assert field_value(kind, value, METRIC) == metric


def test_wire_stays_an_area() -> None:
    """10 AWG is 5.26 mm2 (ASTM B258: 0.1019 in)."""
    area = math.pi / 4 * (0.1019 * 0.0254) ** 2
    assert field_value(RULE_KINDS["cord_wire"], area, US) == (5.26, "mm2")
