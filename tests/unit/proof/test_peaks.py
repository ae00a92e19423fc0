"""Peaks of a trace and their median."""

from __future__ import annotations

import numpy as np
import pytest

from lapwright.proof.peaks import METHODS, Method, find_method, noise_of, tall_peaks

# What each method takes of a trace with known peaks, worked out by hand; the methods themselves
# are ISO 6133 from memory (see the docstring of find_method).


def _teeth(heights: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """Peaks of the given heights at 0, 1, 2 ..., valleys of 50 N, and a fall at the end."""
    corners = [heights[0]]
    for height in heights[1:]:
        corners += [50.0, height]
    along = np.append(np.arange(len(corners)) / 2, len(heights) - 0.95)
    corners.append(20.0)
    travel = np.unique(np.concatenate([np.linspace(0.0, along[-1], 20 * len(heights)), along]))
    return travel, np.interp(travel, along, corners)


def test_few_peaks_are_all_taken() -> None:
    """Below five peaks the median is that of all, the first included."""
    peaks = find_method(*_teeth([200, 90, 100, 130]), noise=0.0)
    assert (peaks.count, peaks.method) == (4, "A")
    assert peaks.median == pytest.approx(115.0)
    assert (peaks.lowest, peaks.highest) == (90.0, 200.0)


def test_five_to_twenty_peaks_are_taken_from_the_central_part() -> None:
    """Of twelve peaks at 0 to 11 the central 80 %, 1.1 to 9.9, holds those at 2 to 9."""
    heights = [400.0, 350.0, *[100.0 + k for k in range(8)], 300.0, 290.0]
    peaks = find_method(*_teeth(heights), noise=0.0)
    assert (peaks.count, peaks.method) == (12, "B")
    assert peaks.median == pytest.approx(103.5)
    assert (peaks.lowest, peaks.highest) == (100.0, 107.0)


def test_many_peaks_are_taken_at_nine_lines() -> None:
    """Of 31 peaks at 0 to 30 the lines at 5.4, 7.8 ... 24.6 take those at 5, 8, 10 ... 25."""
    heights = [100.0 + k for k in range(31)]
    peaks = find_method(*_teeth(heights), noise=0.0)
    assert (peaks.count, peaks.method) == (31, "C")
    nearest = [round(3 + 2.4 * k) for k in range(1, 10)]
    assert (peaks.lowest, peaks.highest) == (100.0 + nearest[0], 100.0 + nearest[-1])
    assert peaks.median == pytest.approx(100.0 + nearest[4])


def test_every_peak_of_the_central_part_on_demand() -> None:
    """Method D takes the 24 peaks at 4 to 27 of 31, and is never chosen by itself."""
    heights = [500.0] * 4 + [100.0 + k for k in range(23)] + [500.0] * 4
    peaks = find_method(*_teeth(heights), noise=0.0, method="D")
    assert (peaks.method, peaks.lowest, peaks.highest) == ("D", 100.0, 500.0)
    assert peaks.median == pytest.approx(111.5)


def test_a_smooth_trace_is_read_at_nine_lines() -> None:
    """Without peaks the force at the lines is taken: on a ramp its middle."""
    travel = np.linspace(0.0, 10.0, 101)
    peaks = find_method(travel, 100 + 0.2 * travel, noise=0.0)
    assert (peaks.count, peaks.method) == (0, "E")
    assert peaks.median == pytest.approx(101.0)
    assert peaks.highest == pytest.approx(100 + 0.2 * 8.2)


@pytest.mark.parametrize("method", METHODS)
def test_a_stated_method_is_used(method: Method) -> None:
    """What a person asks for is done, whatever the number of peaks."""
    assert find_method(*_teeth([100.0] * 8), noise=0.0, method=method).method == method


def test_noise_makes_no_peaks() -> None:
    """A level pull with noise of 1 N has none; teeth of 50 N in that noise are all found."""
    rng = np.random.default_rng(20260601)
    travel = np.linspace(0.0, 11.0, 800)
    level = 100 + rng.normal(0.0, 1.0, 800)
    assert len(tall_peaks(level, noise_of(level))) == 0
    teeth = 75 + 25 * np.cos(2 * np.pi * travel) + rng.normal(0.0, 1.0, 800)
    assert len(tall_peaks(teeth, noise_of(teeth))) == 10


def test_noise_is_measured_beside_peaks() -> None:
    """The spread of the noise is found within a tenth although the force goes up and down."""
    rng = np.random.default_rng(20260602)
    travel = np.linspace(0.0, 10.0, 4000)
    force = 100 + 20 * np.cos(2 * np.pi * travel) + rng.normal(0.0, 2.0, 4000)
    assert noise_of(force) == pytest.approx(2.0, rel=0.1)
