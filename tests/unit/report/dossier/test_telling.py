"""Facts in the reader's words: figures as typed or converted, and what nobody knows said so."""

from __future__ import annotations

import pytest
from tests import cast
from tests.handed import ES, teller

from lapwright.record.fact import Fact
from lapwright.report.dossier.telling import Teller, clock, offset, when
from lapwright.report.figures import Reader
from lapwright.roof.station import Span

US = teller([*cast.SETUP])
METRIC = teller([*cast.SETUP], ES)
NB = "\N{NO-BREAK SPACE}"


def weld(**body: object) -> Fact:
    """A test weld with a body."""
    usual = cast.CHAIN | {"conditions": cast.CONDITIONS, "air": "860 f", "speed": "10 ft_min"}
    return cast.fact("test_weld", number="T1", **(usual | body))


@pytest.mark.parametrize(
    ("written", "us", "metric"),
    [
        ("860 f", "860 °F", "460 °C"),  # (860 - 32) / 1.8 = 460
        ("460 c", "860 °F", "460 °C"),
        ("859.5 f", "859.5 °F", "460 °C"),  # as typed; converted to the nearest degree
        ("-4 f", "−4 °F", "−20 °C"),
        ("6 dial", "mark 6 on the dial", "marca 6 del dial"),
    ],
)
def test_a_temperature_is_as_typed_or_converted(written: str, us: str, metric: str) -> None:
    """In the unit it was typed in nothing is rounded; in the other it is."""
    fact = weld(air=written)
    assert US.value(fact, "air").replace(NB, " ") == us
    assert METRIC.value(fact, "air").replace(NB, " ") == metric


def test_speeds_and_lengths_are_converted() -> None:
    """10 ft/min is 3.048 m/min; 3 m is 9.84 ft."""
    fact = weld(length="3 m")
    assert METRIC.value(fact, "speed") == f"3,05{NB}m/min"
    assert US.value(fact, "length") == f"9.8{NB}ft"
    assert METRIC.value(fact, "length") == f"3{NB}m"


def test_a_comma_typed_on_a_spanish_phone_is_a_point_in_english() -> None:
    """And a point typed is a comma in Spanish, digits as typed."""
    fact = weld(speed="3.5 m_min", length="0,9 m")
    assert METRIC.value(fact, "speed") == f"3,5{NB}m/min"
    english = Teller(US.closeout, Reader("en", "metric"))
    assert english.value(fact, "length") == f"0.9{NB}m"


def test_what_was_not_measured_is_told_beside_the_reading() -> None:
    """An estimate never looks like a measurement."""
    fact = cast.fact("conditions", sheet="80 f estimated", ambient="80 f measured")
    assert US.value(fact, "sheet").endswith("(estimated)")
    assert "(" not in US.value(fact, "ambient")


def test_not_known_and_not_asked_differ() -> None:
    """A field that somebody must have been asked is not known; one that may be absent is a dash."""
    fact = weld(load=None)
    assert US.value(fact, "load") == "not known"
    person = cast.fact("person", name="A")
    assert US.value(person, "certificate") == "–"


@pytest.mark.parametrize(
    ("part", "whole", "said"),
    [(0, 9, "0.0"), (9, 9, "100.0"), (0.0001, 9, "0.1"), (8.9999, 9, "99.9"), (4.5, 9, "50.0")],
)
def test_a_share_is_never_rounded_to_all_or_nothing(part: float, whole: float, said: str) -> None:
    """One inch that lacks is not 100 %."""
    assert US.share(part, whole) == f"{said}{NB}%"


def test_a_share_of_nothing_is_a_dash() -> None:
    """No seam, no share."""
    assert US.share(0, 0) == "–"


def test_a_span_bears_its_unit_once() -> None:
    """0 to 27.432 m are 0 to 90 ft."""
    assert US.span(Span(0, 27.432)) == f"0–90{NB}ft"
    assert METRIC.span(Span(0, 27.432)) == f"0–27,4{NB}m"


def test_long_text_ends_with_a_mark() -> None:
    """Sixty characters with the mark; what just fits is whole."""
    assert US.plain("x" * 60) == "x" * 60
    assert US.plain("x" * 61) == "x" * 59 + "…"


def test_a_moment_bears_its_offset_and_a_minus_that_is_one() -> None:
    """Day, clock and hours from UTC as they were where it happened."""
    assert when("2026-12-31T23:59:30+05:30") == "2026-12-31 23:59 +05:30"
    assert when(cast.JOB_FACT.moment) == "2026-05-04 06:00 −05:00"
    assert clock("2026-05-04T07:05:09-05:00") == "07:05"
    assert offset(cast.JOB_FACT.moment) == "−05:00"


def test_a_chain_names_machine_operator_power_and_sheet() -> None:
    """Two sheets where they differ."""
    lot = cast.fact("pairing", at="06:51", upper=cast.LOT, lower=cast.OTHER_LOT)
    own = teller([*cast.SETUP, lot])
    assert own.pairing(cast.PAIRING.id) == f"TPO 60{NB}mil, white"
    assert own.pairing(lot.id) == f"TPO 60{NB}mil, white / TPO 60{NB}mil, grey"
    assert own.power(cast.POWER.id) == f"1 (10 AWG, 100{NB}ft)"
    assert own.power("gone") == own.pairing("gone") == "not known"


def test_a_setting_takes_each_part_from_who_says_it_first() -> None:
    """Air from the run, speed from the set point; nobody's is not known."""
    run = cast.fact("run", at="08:00", seam="A-S001", station="0 ft", decision=None, air="900 f",
                    **cast.CHAIN)  # fmt: skip
    assert US.setting(run, weld(air="860 f", speed="9 ft_min")) == f"900{NB}°F, 9{NB}ft/min"
    assert US.setting(None) == "not known, not known"


def test_a_value_that_fits_no_field_stands_as_it_was_written() -> None:
    """A correction may have put anything there."""
    assert US.changed("run", "station", {"typed": "x"}) == '{"typed": "x"}'
    assert US.changed("run", "at", "2026-05-04T07:05:09-05:00") == "2026-05-04 07:05 −05:00"
    assert US.changed("run", "by", cast.TOM.id) == "Tom"
    assert US.changed("run", "nonsense", 4) == "4"
    assert US.changed("run", "seam", None) == "not known"


def test_a_colour_has_a_word_in_each_language_and_another_one_stands_as_typed() -> None:
    """White is blanca; sand is what somebody typed."""
    sand = cast.fact("lot", membrane="tpo", thickness="60 mil", colour="sand", backing="reinforced",
                     number="R-9")  # fmt: skip
    white = cast.fact("lot", membrane="tpo", thickness="60 mil", colour="white",
                      backing="reinforced", number="R-8")  # fmt: skip
    own = teller([*cast.SETUP, sand, white], ES)
    assert own.lot(white.id).endswith(", blanca")
    assert own.lot(sand.id).endswith(", sand")
    assert teller([*cast.SETUP, white]).lot(white.id).endswith(", white")
