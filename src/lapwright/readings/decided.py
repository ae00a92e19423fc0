"""The answer that a decision carries: whole and in SI, or as the figures that a page showed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, cast, get_args

from lapwright.errors import LapwrightError
from lapwright.job.decided import Decided
from lapwright.record.fact import Fact
from lapwright.units import to_si
from lapwright.window.answer import Question, Verdict
from lapwright.window.edges import Edge

_UNITS = ("f", "c")


def decided(fact: Fact) -> Decided | None:
    """What a decision carries of the window.

    Parameters
    ----------
    fact : Fact
        Of the kind ``decision``.

    Returns
    -------
    Decided or None
        None where it carries no verdict that this lapwright knows, as when a set point was
        taken from experience.
    """
    answer = fact["answer"]
    if not isinstance(answer, Mapping) or answer.get("verdict") not in get_args(Verdict):
        return None
    point = answer.get("set_point")
    return Decided(
        verdict=answer["verdict"],
        bottom=_edge(answer.get("bottom")),
        top=_edge(answer.get("top")),
        p_sound=_figure(point.get("p_sound")) if isinstance(point, Mapping) else None,
        version=str(answer.get("version") or ""),
        question=_question(fact["question"]),
    )


def _edge(kept: Any) -> Edge:
    parts = kept if isinstance(kept, Mapping) else {}
    return Edge(*(_kelvin(parts, name) for name in ("low", "mid", "high")))


def _kelvin(parts: Mapping[str, Any], name: str) -> float | None:
    """In SI under the bare name, in a reader's unit under a name with its suffix."""
    for unit in _UNITS:
        value = _figure(parts.get(f"{name}_{unit}"))
        if value is not None:
            return to_si(value, unit)
    return _figure(parts.get(name))


def _figure(value: Any) -> float | None:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if is_number else None


@cache
def _shape() -> Any:
    from pydantic import TypeAdapter

    return TypeAdapter(Question)


def _question(kept: Any) -> Question | None:
    """The question, if it is one: a phone that weighed by its own table keeps something else."""
    from pydantic import ValidationError

    if not isinstance(kept, Mapping) or not kept.keys() <= Question.__dataclass_fields__.keys():
        return None
    if "policy" not in kept:  # every question that a server answered says how it chose
        return None
    try:
        return cast(Question, _shape().validate_python(dict(kept)))
    except (ValidationError, LapwrightError):
        return None
