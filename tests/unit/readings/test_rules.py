"""Rule files: units, lines, and what is refused."""

import math
from pathlib import Path

import pytest

from lapwright.errors import FileUnreadable, LapwrightError
from lapwright.job.rules import RULE_KINDS, TRIGGERS, Clause
from lapwright.readings.rules import (
    UNIT_WORDS,
    default_layer,
    parse_layer,
    read_layer,
    read_rule_book,
)

HEAD = 'layer = "specification"\nedition = "2026-03"\nset_by = "QL"\n'


def one(rule: str, value: str, unit: str = "") -> Clause:
    """The clause of a file that holds one rule."""
    said = f'value = {value}\nclause = "3.4"\n' + (f'unit = "{unit}"\n' if unit else "")
    (clause,) = parse_layer(f"{HEAD}[{rule}]\n{said}", file="spec.toml")
    return clause


def refused(text: str) -> FileUnreadable:
    """The error that a file gives."""
    with pytest.raises(FileUnreadable) as caught:
        parse_layer(text, file="spec.toml")
    assert caught.value.data["file"] == "spec.toml"
    return caught.value


@pytest.mark.parametrize(
    ("rule", "value", "unit", "si"),
    [
        # Exact by definition of the unit (from memory: inch, foot, pound-force, degree Fahrenheit).
        ("cold_caution", "45", "degF", 273.15 + 13 / 1.8),
        ("cold_caution", "-40", "degF", 233.15),
        ("cold_caution", "-40", "degC", 233.15),
        ("air_moved", "18", "degF change", 10.0),  # a difference: no 32
        ("air_moved", "10", "degC change", 10.0),
        ("cord_length", "100", "ft", 30.48),
        ("fused_width", "1.5", "in", 0.0381),
        ("fused_width", "38", "mm", 0.038),
        ("thickness_changed", "4", "mil", 0.0001016),
        ("probe_cooling", "20", "min", 1200.0),
        ("time_since_pass", "4", "h", 14400.0),
        ("long_stop", "90", "s", 90.0),
        ("speed_highest", "12", "ft/min", 0.06096),
        ("speed_highest", "3.6", "m/min", 0.06),
        ("generator_power", "6.5", "kW", 6500.0),
        ("generator_power", "6500", "W", 6500.0),
        ("volts_lost", "3", "%", 0.03),
        ("peel_strength", "300", "N/50 mm", 6000.0),
        ("peel_strength", "1", "lbf/in", 175.1268352464),
        ("cord_wire", "6", "mm2", 6e-6),
        ("test_weld_strips", "2", "", 2.0),
        ("water_dip", "true", "", 1.0),
        ("lunch", "false", "", 0.0),
        ("feet_since_pass", "false", "", math.inf),  # a trigger that is off: out of reach
        ("p_sound_low", "false", "", 0.0),
    ],
)
def test_a_value_becomes_si(rule: str, value: str, unit: str, si: float) -> None:
    """Each unit word means what it says, and the value as typed is kept beside it."""
    clause = one(rule, value, unit)
    assert clause.value == pytest.approx(si, rel=1e-9)
    assert (clause.unit, str(clause.typed).lower()) == (unit, value)


# Circular mils of American wire gauges as printed in NEC chapter 9, table 8 (read in a copy);
# 1 circular mil = pi/4 (0.001 in)^2. Claimed: whole tens of circular mils. Reached: 3.
@pytest.mark.parametrize(("gauge", "mils"), [(16, 2580), (14, 4110), (12, 6530), (10, 10380)])
def test_a_wire_gauge_is_an_area(gauge: int, mils: int) -> None:
    """A gauge number counts as the copper it stands for: 10 AWG is more than 12."""
    circular_mil = math.pi / 4 * 0.0000254**2
    area = one("cord_wire", str(gauge), "AWG").value
    assert area / circular_mil == pytest.approx(mils, abs=5)


def test_a_clause_keeps_where_it_comes_from() -> None:
    """Layer, clause, edition, who set it, note, file and line travel with the value."""
    text = (
        f'{HEAD}# a remark\n[fused_width]\nvalue = 2\nunit = "in"\nclause = "3.4 B"\n'
        'edition = "addendum 1"\nset_by = "owner"\nnote = "agreed on site"\n'
        '[lunch]\nvalue = true\nclause = "3.5"\n'
    )
    width, lunch = parse_layer(text, file="spec.toml")
    assert (width.layer, width.text, width.edition, width.set_by, width.note, width.place) == (
        "specification",
        "3.4 B",
        "addendum 1",
        "owner",
        "agreed on site",
        "spec.toml:5",
    )
    assert (lunch.edition, lunch.set_by, lunch.line) == ("2026-03", "QL", 12)


BODY = '[fused_width]\nvalue = 2\nunit = "in"\nclause = "3.4"\n'  # lines 4 to 7


@pytest.mark.parametrize(
    ("text", "code", "row", "value"),
    [
        (HEAD + BODY.replace("fused_width", "fuzed_width"), "rule_unknown", 4, "fuzed_width"),
        (HEAD + 'titel = "x"\n', "rule_unknown", 4, "titel"),
        (HEAD + BODY + "valeu = 3\n", "rule_field_unknown", 8, "valeu"),
        (HEAD + BODY + "[lunch]\nvalue = true\n", "rule_field_missing", 8, "clause"),
        (HEAD + BODY.replace("value = 2\n", ""), "rule_field_missing", 4, "value"),
        (HEAD + BODY.replace('"3.4"', '" "'), "rule_field_missing", 7, "clause"),
        (HEAD.replace("edition", "# ") + BODY, "rule_field_missing", 4, "edition"),
        (HEAD.replace('"QL"', '""') + BODY, "rule_field_missing", 4, "set_by"),
        (HEAD + "fused_width = 2\n", "rule_field_missing", 4, "clause"),
        (HEAD + BODY.replace('"in"', '"degF"'), "rule_unit", 6, "degF"),
        (HEAD + BODY.replace('"in"', '"""\ninch"""'), "rule_unit", 6, "inch"),
        (HEAD + BODY.replace('unit = "in"\n', ""), "rule_unit", 4, ""),
        (HEAD + '[lunch]\nvalue = true\nclause = "1"\nunit = "h"\n', "rule_no_unit", 7, "h"),
        (HEAD + BODY.replace("= 2", '= "2"'), "rule_value", 5, "2"),
        (HEAD + BODY.replace("= 2", "= true"), "rule_value", 5, "True"),
        (HEAD + BODY.replace("= 2", "= -2"), "rule_value", 5, "-2"),
        (HEAD + BODY.replace("= 2", "= nan"), "rule_value", 5, "nan"),
        (HEAD + BODY.replace("= 2", "= inf"), "rule_value", 5, "inf"),
        (HEAD + '[lunch]\nvalue = 1\nclause = "1"\n', "rule_value", 5, "1"),
        (HEAD + '[test_weld_strips]\nvalue = 1.5\nclause = "1"\n', "rule_value", 5, "1.5"),
        (HEAD + '[test_weld_strips]\nvalue = 0\nclause = "1"\n', "rule_value", 5, "0"),
        (HEAD + BODY.replace("= 2", "= 2 3"), "rules_not_toml", 5, "value = 2 3"),
        (HEAD + BODY + BODY, "rules_not_toml", 8, "[fused_width]"),
        (HEAD + BODY + 'note = """open', "rules_not_toml", 8, 'note = """open'),
        (HEAD.replace("specification", "default rules") + BODY, "rule_layer", 1, "default rules"),
        ("# no head\n" + BODY, "rule_layer", 1, ""),
    ],
)
def test_a_mistake_is_refused_with_its_line(text: str, code: str, row: int, value: str) -> None:
    """Every mistake names the line where the person has to look, and what stands there."""
    error = refused(text)
    assert (error.code, error.data["row"], error.data["value"]) == (code, row, value)


@pytest.mark.parametrize(
    ("rule", "value", "unit", "code"),
    [
        ("air_moved", "10", "degF", "rule_unit"),  # would be 261 K of change
        ("cold_caution", "45", "degF change", "rule_unit"),
        ("cold_caution", "-500", "degF", "rule_value"),  # colder than nothing
        ("volts_lost", "101", "%", "rule_value"),
        ("cord_wire", "10.5", "AWG", "rule_value"),
        ("cord_wire", "40", "AWG", "rule_value"),
        ("fused_width", "false", "in", "rule_value"),  # only a trigger can be off
        ("long_stop", "true", "min", "rule_value"),
    ],
)
def test_a_quantity_has_its_own_units_and_range(
    rule: str, value: str, unit: str, code: str
) -> None:
    """A change is no temperature, and a value that nature or the trade lacks is refused."""
    with pytest.raises(FileUnreadable) as caught:
        one(rule, value, unit)
    assert caught.value.code == code


def test_a_near_miss_is_suggested() -> None:
    """An unknown rule names the nearest known one; a wrong unit names the right ones."""
    assert refused(HEAD + "[fuzed_width]\n").data["allowed"].split(", ")[0] == "fused_width"
    wrong = refused(HEAD + BODY.replace('"in"', '"inch"'))
    assert wrong.data["allowed"] == "ft, in, mil, m, mm"


def test_lines_survive_every_way_to_write_toml() -> None:
    """Long texts, one-line rules and dotted keys do not shift the lines of what follows."""
    text = (
        HEAD.replace("\n", "\r\n")
        + 'cord_length = { value = 50, unit = "ft", clause = "a" }\n'  # 4
        + 'lunch.value = true\nlunch.clause = "b"\n'  # 5, 6
        + '\n[warm_up]\nvalue = 20\nunit = "min"\nclause = """\n[cord_wire]\nvalue = 2\n"""\n'  # 8
        + '[cord_wire]\nvalue = 8\nunit = "AWG"\nclause = "d"\n'  # 15
    )
    lines = {clause.rule: clause.line for clause in parse_layer(text, file="x.toml")}
    assert lines == {"cord_length": 4, "lunch": 5, "warm_up": 8, "cord_wire": 15}


def test_every_quantity_has_its_unit_words() -> None:
    """Each quantity of the table is listed; each with a unit has at least two ways to say it."""
    quantities = {kind.quantity for kind in RULE_KINDS.values()}
    assert quantities == set(UNIT_WORDS)
    unitless = {name for name, words in UNIT_WORDS.items() if not words}
    assert unitless == {"count", "switch"}


def test_defaults_name_their_source() -> None:
    """Every trigger and all rules but those a clause must set have a default with a source."""
    layer = default_layer()
    only_by_clause = {
        "lap_side",
        "lap_end",
        "ambient_lowest",
        "ambient_highest",
        "air_lowest",
        "air_highest",
        "speed_lowest",
        "speed_highest",
        "cut_spacing",
        "peel_strength",
    }
    assert {clause.rule for clause in layer} == set(RULE_KINDS) - only_by_clause
    assert {clause.layer for clause in layer} == {"default"}
    assert set(TRIGGERS) <= {clause.rule for clause in layer}


@pytest.mark.parametrize(
    ("rule", "si", "rel"),
    [
        # Figures of the trade as published, in SI by hand; sources stand in default-rules.toml.
        ("generator_power", 10_000.0, 0.0),  # a contractor's guide for TPO: 10 kW minimum
        ("cord_length", 30.5, 2e-3),  # a sheet maker's welding guide, January 2020: 100 ft
        ("cord_wire", 5.26e-6, 1e-3),  # the same: 10 AWG
        ("cold_caution", 280.4, 2e-4),  # a sheet maker's cool-weather note: 45 F
        ("fused_width", 0.0381, 0.0),  # a contractor's training standards: 1.5 in
        ("probe_cooling", 1200.0, 0.0),  # the same: 15 to 20 min
        ("void_depth", 0.0064, 1e-2),  # the same: 1/4 in
        ("long_stop", 1800.0, 0.0),  # a mine's liner quality plan: 30 min
        ("air_moved", 5.56, 1e-3),  # a landfill liner specification: 10 F
        ("sheet_relaxed", 1800.0, 0.0),  # a county's project manual: 30 min
    ],
)
def test_defaults_are_the_published_figures(rule: str, si: float, rel: float) -> None:
    """The defaults with a source carry the figure of that source."""
    assert read_rule_book([])[rule].value == pytest.approx(si, rel=rel or 1e-12)


def test_layers_are_read_from_files(tmp_path: Path) -> None:
    """A job's files are merged with the defaults; the default stays visible."""
    spec, maker = tmp_path / "spec.toml", tmp_path / "maker.toml"
    spec.write_text("\ufeff" + HEAD + BODY, encoding="utf-8")  # as some editors save it
    maker.write_text(
        HEAD.replace("specification", "sheet_maker") + BODY.replace("= 2", "= 1.75"),
        encoding="utf-8",
    )
    rule = read_rule_book([maker, spec])["fused_width"]
    assert rule.value == pytest.approx(0.0508)
    assert [clause.layer for clause in rule.losing] == ["sheet_maker", "default"]
    assert rule.governing.place == f"{spec}:4"


def test_a_contradiction_names_both_lines(tmp_path: Path) -> None:
    """A least of one file above the most of another is refused with both places."""
    low, high = tmp_path / "low.toml", tmp_path / "high.toml"
    limit = '[{}]\nvalue = {}\nunit = "degF"\nclause = "2"\n'
    low.write_text(HEAD + limit.format("air_lowest", 986), encoding="utf-8")
    high.write_text(HEAD + "\n" + limit.format("air_highest", 860), encoding="utf-8")
    with pytest.raises(LapwrightError) as caught:
        read_rule_book([high, low])
    data = caught.value.data
    assert (data["place"], data["other_place"]) == (f"{low}:4", f"{high}:5")
    assert (data["typed"], data["other_typed"]) == ("986 degF", "860 degF")


def test_a_file_that_is_none(tmp_path: Path) -> None:
    """A missing file and one that is no text are refused by name."""
    missing, image = tmp_path / "none.toml", tmp_path / "image.toml"
    image.write_bytes(b"\x89PNG\r\n\x1a\n\x00")
    for path, code in ((missing, "file_missing"), (image, "not_text")):
        with pytest.raises(FileUnreadable) as caught:
            read_layer(path)
        assert (caught.value.code, caught.value.data["file"]) == (code, str(path))
