"""A power set-up as plain figures in field units: what ``--json`` prints."""

from __future__ import annotations

from collections.abc import Iterable

from lapwright.job.power import PowerPlan
from lapwright.physics.power import PowerAtTool
from lapwright.report.figures import Figures, Reader, caution_figures
from lapwright.report.powertext import verdict_text
from lapwright.units import FIELD_UNITS, from_si


def power_figures(plan: PowerPlan, assumed: Iterable[str], reader: Reader) -> Figures:
    """A power set-up in the reader's units and language.

    Parameters
    ----------
    plan : PowerPlan
        The set-up, worked out.
    assumed : iterable of str
        Names of what nobody stated.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix; null for the watts of a
        house supply and for the setting of a tool that nobody asks it of.

    Examples
    --------
    >>> from lapwright.job.power import plan_power
    >>> from lapwright.physics.cords import find_gauge
    >>> from lapwright.physics.supply import Cord, Generator, PowerSetup
    >>> setup = PowerSetup(Generator(), (Cord(find_gauge("12 AWG"), 60.96),), ambient=299.8)
    >>> figures = power_figures(plan_power(setup, air=810.9), (), Reader())
    >>> figures["cords"][0]["drop_share"], figures["tools"][0]["setting_f"]
    (0.058, 1000.0)
    """
    setup, answer = plan.setup, plan.answer
    unit = reader.temperature
    length_unit = FIELD_UNITS[reader.units]["length"]
    engine = setup.generator.is_engine

    def length(metres: float) -> float:
        return round(from_si(metres, length_unit), 1)

    return {
        "verdict": plan.verdict,
        "says": verdict_text(plan, reader),
        "supply": {
            "kind": "generator" if engine else "house",
            "rated_w": round(setup.generator.watts) if engine else None,
            "available_w": round(answer.available) if engine else None,
            "drawn_w": round(answer.watts),
            "needed_w": round(answer.needed) if engine else None,
            "overloaded": answer.is_overloaded,
            "volts_open": setup.generator.volts,
            "volts": round(answer.volts, 1),
            f"ambient_{unit}": reader.air(setup.ambient),
            f"altitude_{length_unit}": length(setup.altitude),
        },
        "assumed": list(assumed),
        "tools": [_tool(plan, tool, reader) for tool in answer.tools],
        "cords": [
            {
                "cord": number,
                "gauge": cord.gauge.name,
                f"length_{length_unit}": length(cord.length),
                "coiled": cord.coiled,
                "amps": round(load.amps, 1),
                "rated_amps": round(load.ampacity, 1),
                "drop_share": round(load.drop_share, 3),
                f"copper_{unit}": reader.air(load.copper),
            }
            for number, (cord, load) in enumerate(zip(setup.cords, answer.cords, strict=True), 1)
        ],
        "longest_cords": {
            "cord": plan.least.cord,
            "sizes": [
                {
                    "gauge": limit.gauge.name,
                    f"longest_{length_unit}": length(limit.longest),
                    f"by_heat_{length_unit}": length(limit.by_heat),
                    f"by_drop_{length_unit}": length(limit.by_drop),
                    "amps": round(limit.amps, 1),
                    "rated_amps": round(limit.ampacity, 1),
                    "too_thin": limit.is_too_thin,
                }
                for limit in plan.limits
            ],
        },
        "what_if": [
            {
                "code": what_if.code,
                "says": reader.say("power", what_if.code, {"ambient": what_if.ambient}),
                "volts_change": round(what_if.change.volts, 1),
                f"max_air_change_{unit}": reader.difference(what_if.change.air_max_k),
                "overloaded": what_if.is_overloaded,
            }
            for what_if in plan.what_ifs
        ],
        "practices": [
            {
                "code": check.practice.code,
                "says": reader.say("practice", check.practice.code),
                "kept": check.is_followed,
                f"max_air_{unit}": reader.air(check.air_max),
            }
            for check in plan.checks
        ],
        "cautions": caution_figures(answer.cautions, reader),
    }


def _tool(plan: PowerPlan, reached: PowerAtTool, reader: Reader) -> Figures:
    cord, _ = plan.cord_of(reached)
    unit, margin = reader.temperature, reached.margin_k
    return {
        "cord": reached.cord,
        "tool": reached.place,
        "volts": round(reached.volts, 1),
        "computed_volts": round(reached.computed, 1),
        "measured": cord.tools[reached.place - 1].measured is not None,
        "amps": round(reached.amps, 1),
        "heat_w": round(reached.heat),
        "heat_share": round(reached.heat_share, 3),
        f"max_air_{unit}": reader.air(reached.air_max),
        f"setting_{unit}": None if margin is None else reader.air(plan.air),
        f"margin_{unit}": None if margin is None else reader.difference(margin),
        f"top_test_weld_{unit}": reader.air(reached.top_rung),
    }
