"""Errors that go from one process to another, as a pool of workers sends them."""

from __future__ import annotations

import pickle

import pytest

from lapwright.errors import FileUnreadable, LapwrightError, OutOfRange


@pytest.mark.parametrize(
    "error",
    [
        LapwrightError("job_unknown", job="x"),
        OutOfRange("speed", 9.0, below=1.0),
        FileUnreadable("not_a_number", file="a.csv", row=3, value="q"),
    ],
)
def test_an_error_arrives_as_it_was_raised(error: LapwrightError) -> None:
    """Kind, code and data."""
    there = pickle.loads(pickle.dumps(error))
    assert (type(there), there.code, there.data) == (type(error), error.code, error.data)
    assert str(there) == str(error)
