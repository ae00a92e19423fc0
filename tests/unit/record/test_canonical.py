"""The canonical form, written the fast way wherever that is the same as the standard's library."""

from __future__ import annotations

from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from lapwright.record.canonical import canonical_json

NUMBERS = st.none() | st.booleans() | st.floats() | st.integers(-(2**60), 2**60)
TEXTS = st.text(st.characters(codec="utf-16"), max_size=12)
VALUES = st.recursive(
    NUMBERS | TEXTS,
    lambda part: st.lists(part, max_size=4) | st.dictionaries(TEXTS, part, max_size=4),
    max_leaves=20,
)


def written(writer: Any, value: object) -> bytes | str:
    """Bytes, or the name of what was raised."""
    try:
        return bytes(writer(value))
    except ValueError as error:
        return type(error).__name__


@given(VALUES)
def test_it_is_the_form_of_the_standards_library(value: object) -> None:
    """Names, texts, numbers of every kind: the same bytes, or the same refusal."""
    assert written(canonical_json, value) == written(rfc8785.dumps, value)


@pytest.mark.parametrize(
    "value",
    [
        {"\U0001f600": 1, "\ufb33": 2},  # the order of UTF-16 units is not Python's
        {"a": [1.0, 1e21, 1e-7, -0.0]},
        {"control": "\x00\x1f\x7f\u2028\"\\/"},
        [2**53 - 1, 1 - 2**53, True, None, "", {}, []],
        ("a", "tuple"),
    ],
)  # fmt: skip
def test_where_other_writers_differ_it_does_not(value: Any) -> None:
    """What Python's encoder alone would write in another way, or in another order."""
    assert canonical_json(value) == rfc8785.dumps(value)


@pytest.mark.parametrize("value", ["\ud800", {"\udfff": 1}, 2**53, -(2**53), float("nan"), {1: 2}])
def test_what_no_reader_could_read_alike_is_refused(value: object) -> None:
    """Half a surrogate pair, a number that is not safe, a name that is no text."""
    with pytest.raises((rfc8785.CanonicalizationError, UnicodeEncodeError)):
        canonical_json(value)
