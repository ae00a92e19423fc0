"""Compare methods on invented sites and print Markdown tables, losses included.

python bench/compare.py --sites 3000 --seed 101 --family base narrow --methods lapwright
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterable

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # the processes share the cores among themselves

import numpy as np
import scores
from runs import METHODS, Sample, certify, run
from scores import Figure, Results
from sites import FAMILIES
from targets import TARGETS

COVERAGE_AT = (3, 4, 5, 7)
DRIFT_AT = (4, 7)


def main() -> None:
    """Run what was asked for and print the tables."""
    asked = _arguments()
    results = Results()
    for family in asked.family:
        sample = Sample(family, asked.sites, asked.seed)
        results.add_family(sample)
        for method in asked.methods:
            print(f"{family}: {method}", file=sys.stderr)
            results.records[family, method] = run(
                sample, method, welds=asked.welds, processes=asked.processes
            )
        if asked.certificates:
            print(f"{family}: certificates", file=sys.stderr)
            results.certificates[family] = certify(sample, processes=asked.processes)
    print(f"{asked.sites} sites per family, seed {asked.seed}; +- is one standard error.\n")
    for lines in (
        _success_table(results, asked.welds),
        _edge_table(results, asked.welds),
        _drift_table(results, asked.welds),
        _certificate_table(results),
        _time_table(results),
        _target_table(results),
    ):
        if lines:
            print("\n".join(lines) + "\n")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--sites", type=int, default=3000, help="sites per family")
    parser.add_argument("--seed", type=int, default=101)
    parser.add_argument("--welds", type=int, default=7, help="most welds a run makes")
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--family", nargs="+", default=["base"], choices=list(FAMILIES))
    parser.add_argument("--methods", nargs="*", default=["lapwright"], choices=list(METHODS))
    parser.add_argument("--certificates", action="store_true", help="also run to the certificate")
    return parser.parse_args()


def _show(figure: Figure, digits: int = 3) -> str:
    if np.isnan(figure.value):
        return "-"
    return f"{figure.value:.{digits}f} +- {figure.error:.{digits}f}"


def _header(*names: str) -> list[str]:
    return [f"| {' | '.join(names)} |", "|---" * len(names) + "|"]


def _rows(results: Results) -> Iterable[tuple[str, str, str]]:
    for (family, method), records in results.records.items():
        for policy in records.set_points:
            yield family, method, policy


def _success_table(results: Results, welds: int) -> list[str]:
    lines = _header("success", *(f"@{k}" for k in range(1, welds + 1)))
    for family, method, policy in _rows(results):
        cells = []
        for k in range(1, welds + 1):
            said = scores.answered(results, family, method, policy, k).value
            cell = _show(scores.success(results, family, method, policy, k))
            cells.append("-" if said == 0 else cell if said == 1 else f"{cell} ({said:.2f} set)")
        lines.append(f"| {family}, {method}, {policy} | {' | '.join(cells)} |")
    return lines if len(lines) > 2 else []


def _edge_table(results: Results, welds: int) -> list[str]:
    shown = [k for k in COVERAGE_AT if k <= welds]
    lines = _header(
        "edges",
        *(
            f"{edge} {what} @{k}"
            for k in shown
            for edge in ("bottom", "top")
            for what in ("error, F", "covered")
        ),
    )
    measures: tuple[tuple[Callable[..., Figure], int], ...] = (
        (scores.edge_error, 1),
        (scores.coverage, 3),
    )
    for (family, method), records in results.records.items():
        if np.isnan(records.bottom[:, -1, 1]).all():
            continue
        has_interval = np.isfinite(records.bottom[:, -1, 0]).all()
        cells = [
            _show(measure(results, family, method, edge, k), digits)
            if has_interval or measure is scores.edge_error
            else "-"
            for k in shown
            for edge in ("bottom", "top")
            for measure, digits in measures
        ]
        lines.append(f"| {family}, {method} | {' | '.join(cells)} |")
    return lines if len(lines) > 2 else []


def _drift_table(results: Results, welds: int) -> list[str]:
    shown = [k for k in DRIFT_AT if k <= welds]
    lines = _header(
        "unsound share over half a day, %",
        *(f"{drift} @{k}" for drift in ("cold", "mean zero") for k in shown),
    )

    def percent(figure: Figure) -> str:
        return _show(Figure(100 * figure.value, 100 * figure.error), 2)

    for family, method, policy in _rows(results):
        if scores.speed_ratio(method) != 1.0 or policy == "low":
            continue
        cells = [
            percent(scores.unsound_share(results, family, method, policy, k, drift))
            for drift in ("cold", "mean_zero")
            for k in shown
        ]
        lines.append(f"| {family}, {method}, {policy} | {' | '.join(cells)} |")
    for family in results.sites if len(lines) > 2 else ():
        limits = []
        for drift in ("cold", "mean_zero"):
            limits += [percent(scores.least_unsound(results, family, drift))] * len(shown)
        lines.append(f"| {family}, truth known | {' | '.join(limits)} |")
    return lines if len(lines) > 2 else []


def _certificate_table(results: Results) -> list[str]:
    measures = (
        scores.welds_made,
        scores.certified,
        scores.sound_if_certified,
        scores.false_certificates,
        scores.end_success,
    )
    names = ("mean welds", "certified", "sound if certified", "false certificates", "success")
    lines = _header("certificate, at most 8 welds", *names, "ends")
    for family, ends in results.certificates.items():
        cells = [_show(measure(results, family)) for measure in measures]
        verdicts, counts = np.unique(ends.verdict, return_counts=True)
        shares = ", ".join(
            f"{verdict} {count / len(ends.verdict):.3f}"
            for verdict, count in zip(verdicts, counts, strict=True)
        )
        lines.append(f"| {family} | {' | '.join(cells)} | {shares} |")
    return lines if len(lines) > 2 else []


def _time_table(results: Results) -> list[str]:
    lines = _header("ms, median (95 %)", "suggestion", "update", "estimate, all policies")
    for (family, method), records in results.records.items():
        middle, high = np.nanquantile(records.ms, (0.5, 0.95), axis=(0, 1))
        cells = [f"{a:.2f} ({b:.2f})" for a, b in zip(middle, high, strict=True)]
        lines.append(f"| {family}, {method} | {' | '.join(cells)} |")
    return lines if len(lines) > 2 else []


def _target_table(results: Results) -> list[str]:
    lines = _header("target", "must", "aim", "measured", "")
    lines += [row for target in TARGETS if (row := target.row(results)) is not None]
    return lines if len(lines) > 2 else []


if __name__ == "__main__":
    main()
