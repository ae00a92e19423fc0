"""Reading test welds: units, order of rows, and files that anything may have written."""

import csv
import io
import json
from importlib.resources import files
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lapwright.errors import LapwrightError
from lapwright.readings.columns import HEADER, OVERHEAT_WORDS, PULL_WORDS
from lapwright.readings.strips import read_welds, welds_from_rows
from lapwright.window.strips import TestWeld, in_order

Rows = list[dict[str, Any]]

EXAMPLES = [
    (Path(str(files("lapwright"))) / "examples" / name).read_bytes()
    for name in ("morning.csv", "manana.csv")
]
SETTINGS = st.fixed_dictionaries(
    {
        "air_c": st.floats(0, 700),
        "speed_m_min": st.floats(0.2, 20),
        "ambient_c": st.floats(-60, 60),
        "sheet_c": st.none() | st.floats(-60, 120),
        "measured_air_c": st.none() | st.floats(0, 700),
        "volts": st.none() | st.floats(1, 600),
    }
)
STRIPS = st.lists(
    st.fixed_dictionaries(
        {
            "pull": st.sampled_from(list(PULL_WORDS)),
            "overheat": st.sampled_from([None, *OVERHEAT_WORDS]),
            "band_mm": st.none() | st.floats(0, 150),
        }
    ),
    min_size=1,
    max_size=10,
)
SIGNS = st.text(st.characters(exclude_categories=()))  # with halves of characters
LEAVES = st.none() | st.booleans() | st.integers() | st.floats() | SIGNS
TREES = st.recursive(
    LEAVES, lambda inner: st.lists(inner) | st.dictionaries(SIGNS, inner), max_leaves=20
)


@st.composite
def metric_rows(draw: st.DrawFn) -> Rows:
    """Rows of a few welds, each setting repeated in every row of its weld."""
    welds = draw(st.lists(st.tuples(SETTINGS, STRIPS), min_size=1, max_size=5))
    return [
        {"weld": weld, "strip": strip, **setting, **seen}
        for weld, (setting, strips) in enumerate(welds, start=1)
        for strip, seen in enumerate(strips, start=1)
    ]


def in_us(row: dict[str, Any]) -> dict[str, Any]:
    """The same row in US units; factors of the international foot and inch (from memory)."""

    def convert(old: str, new: str, factor: float, zero: float) -> dict[str, Any]:
        value = row[old]
        return {new: None if value is None else value * factor + zero}

    kept = {name: row[name] for name in ("weld", "strip", "volts", "pull", "overheat")}
    return (
        kept
        | convert("air_c", "air_f", 1.8, 32)
        | convert("ambient_c", "ambient_f", 1.8, 32)
        | convert("sheet_c", "sheet_f", 1.8, 32)
        | convert("measured_air_c", "measured_air_f", 1.8, 32)
        | convert("speed_m_min", "speed_ft_min", 1 / 0.3048, 0)
        | convert("band_mm", "band_in", 1 / 25.4, 0)
    )


def as_csv(rows: Rows, mark: str = ",") -> str:
    """Rows as a spreadsheet writes them."""
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]), delimiter=mark)
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def numbers(weld: TestWeld) -> list[float | None]:
    """All SI values of a weld."""
    bands = [strip.band for strip in weld.strips]
    return [weld.air, weld.speed, weld.ambient, weld.sheet, weld.measured_air, weld.volts, *bands]


@given(metric_rows())
def test_units_do_not_matter(rows: Rows) -> None:
    """The same welds written in US and in metric units are the same in SI."""
    metric = welds_from_rows(rows, name="page")
    us = welds_from_rows([in_us(row) for row in rows], name="page")
    for one, other in zip(metric, us, strict=True):
        for first, second in zip(numbers(one), numbers(other), strict=True):
            assert (first is None) == (second is None)
            assert first is None or second == pytest.approx(first, rel=1e-9, abs=1e-12)


@given(metric_rows(), st.sampled_from([",", ";", "\t"]))
def test_formats_do_not_matter(rows: Rows, mark: str) -> None:
    """CSV with any separator, JSON text and parsed rows give the same welds."""
    parsed = welds_from_rows(rows, name="page")
    assert read_welds(json.dumps(rows)) == parsed
    assert read_welds(as_csv(rows, mark)) == parsed


@given(metric_rows(), st.randoms(use_true_random=False))
def test_order_does_not_matter(rows: Rows, chance: Random) -> None:
    """Rows in any order, with settings blank in all but one row of a weld, are the same welds."""
    welds = welds_from_rows(rows, name="page")
    spoken: set[int] = set()
    shuffled = chance.sample(rows, len(rows))
    sparse = []
    for row in shuffled:
        blank = {name: None for name in row if name.endswith(("_c", "_m_min")) or name == "volts"}
        sparse.append(row | blank if row["weld"] in spoken else row)
        spoken.add(row["weld"])
    chance.shuffle(sparse)
    assert welds_from_rows(shuffled, name="page") == welds
    assert welds_from_rows(sparse, name="page") == welds
    assert in_order(tuple(chance.sample(welds, len(welds)))) == welds


def assert_can_be_sent(error: LapwrightError) -> None:
    """What the error shows is whole characters on one line."""
    for value in error.data.values():
        str(value).encode()
        assert value is None or str(value).isprintable()


def survives(content: bytes | str) -> None:
    """Reading ends with welds or with an error of ours; any other exception fails the test."""
    try:
        welds = read_welds(content)
    except LapwrightError as error:
        assert_can_be_sent(error)
    else:
        assert all(weld.strips for weld in welds)


@given(st.binary() | SIGNS)
def test_garbage(content: bytes | str) -> None:
    """Whatever is in a file, nothing but our own errors comes out."""
    survives(content)


@given(SIGNS, st.sampled_from([HEADER, HEADER.replace(",", ";"), "sep=\t\n" + HEADER]))
def test_garbage_under_a_header(content: str, header: str) -> None:
    """The same below a header that is right."""
    survives(f"{header}\n{content}")


@given(TREES, st.sampled_from(["%s", '{"rows": %s}', '[{"weld": 1, "note": %s}]']))
def test_garbage_as_json(tree: object, frame: str) -> None:
    """The same for well-formed JSON of any shape."""
    survives(frame % json.dumps(tree))


@given(st.lists(st.dictionaries(st.sampled_from(HEADER.split(",")), LEAVES)))
def test_garbage_from_the_page(rows: Rows) -> None:
    """The same for parsed rows with known columns and any cells."""
    try:
        welds_from_rows(rows, name="page")
    except LapwrightError as error:
        assert_can_be_sent(error)


@given(st.sampled_from(EXAMPLES), st.data())
def test_a_damaged_example(content: bytes, data: st.DataObject) -> None:
    """An example with pieces cut out, doubled or overwritten is read or refused, never a crash."""
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(content)))
        end = data.draw(st.integers(start, min(len(content), start + 40)))
        new = data.draw(
            st.binary(max_size=5)
            | st.sampled_from([b"\n", b";", b",", b'"', b"\r", b"nan", b"\xff\xfe", b"\t", b"1e9"])
            | st.just(content[start:end] * 2)
        )
        content = content[:start] + new + content[end:]
    survives(content)
