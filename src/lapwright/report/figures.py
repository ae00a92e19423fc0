"""An answer as plain figures in field units: what ``--json`` prints and the page reads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lapwright.cautions import Caution
from lapwright.units import FIELD_UNITS, UnitSystem, difference_from_si, from_si
from lapwright.window.answer import Answer
from lapwright.window.edges import Edge
from lapwright.window.nextweld import Suggestion
from lapwright.window.setpoint import SetPoint
from lapwright.words import Language, number, quantity, say

Figures = dict[str, Any]


@dataclass(frozen=True)
class Reader:
    """Who reads: language and units.

    Parameters
    ----------
    language : {"en", "es"}
        Of the sentences.
    units : {"us", "metric"}
        Of the figures.
    """

    language: Language = "en"
    units: UnitSystem = "us"

    @property
    def temperature(self) -> str:
        """Suffix of temperatures: ``f`` or ``c``."""
        return FIELD_UNITS[self.units]["temperature"]

    @property
    def speed(self) -> str:
        """Suffix of speeds: ``ft_min`` or ``m_min``."""
        return FIELD_UNITS[self.units]["speed"]

    def air(self, kelvin: float | None) -> float | None:
        """Temperature in the reader's unit, to a tenth."""
        return None if kelvin is None else round(from_si(kelvin, self.temperature), 1)

    def difference(self, kelvin: float) -> float:
        """Temperature difference in the reader's unit, to a tenth."""
        return round(difference_from_si(kelvin, self.temperature), 1)

    def travel(self, speed: float | None) -> float | None:
        """Speed in the reader's unit, to a hundredth."""
        return None if speed is None else round(from_si(speed, self.speed), 2)

    def write(self, name: str, value: float) -> str:
        """A value with its unit, by its glossary word."""
        return quantity(name, value, language=self.language, units=self.units)

    def plain(self, value: float) -> str:
        """A number with the decimals that it has, as the language writes it."""
        return number(value, len(f"{value:g}".partition(".")[2]), self.language)

    def say(self, section: str, code: str, data: dict[str, Any] | None = None) -> str:
        """Sentence of a code."""
        return say(section, code, data, language=self.language, units=self.units)


def edge_figures(edge: Edge, reader: Reader) -> Figures:
    """Bottom or top: ``low_f``, ``mid_f``, ``high_f``; null is an open or unknown end."""
    unit = reader.temperature
    return {
        f"low_{unit}": reader.air(edge.low),
        f"mid_{unit}": reader.air(edge.mid),
        f"high_{unit}": reader.air(edge.high),
    }


def set_point_figures(point: SetPoint | None, reader: Reader) -> Figures | None:
    """Set point with chances and margins; null where none may be given."""
    if point is None:
        return None
    return {
        f"air_{reader.temperature}": reader.air(point.air),
        f"speed_{reader.speed}": reader.travel(point.speed),
        "p_sound": round(point.p_sound, 3),
        "p_sound_drift": round(point.p_sound_drift, 3),
        f"margin_bottom_{reader.temperature}": reader.difference(point.margin_bottom),
        f"margin_top_{reader.temperature}": reader.difference(point.margin_top),
        f"faster_{reader.speed}": reader.travel(point.faster),
        f"slower_{reader.speed}": reader.travel(point.slower),
    }


def next_figures(suggestion: Suggestion, reader: Reader) -> Figures:
    """The next test weld: setting, reason and whether testing is done."""
    return {
        f"air_{reader.temperature}": reader.air(suggestion.air),
        f"speed_{reader.speed}": reader.travel(suggestion.speed),
        "reason": reader.say("reason", suggestion.reason),
        "reason_code": suggestion.reason,
        "done": suggestion.done,
    }


def caution_figures(cautions: tuple[Caution, ...], reader: Reader) -> list[Figures]:
    """Cautions with their sentences, most urgent first."""
    return [
        {"code": caution.code, "says": reader.say("caution", caution.code, caution.data)}
        for caution in cautions
    ]


def answer_figures(answer: Answer, reader: Reader) -> Figures:
    """A whole answer in the reader's units and language.

    Parameters
    ----------
    answer : Answer
        What the strips say.
    reader : Reader
        Language and units.

    Returns
    -------
    dict
        JSON-ready; every key with a unit carries it as suffix.

    Examples
    --------
    >>> from lapwright.job.morning import find_window
    >>> from lapwright.window.answer import Question
    >>> figures = answer_figures(find_window(Question(ambient=300.0)), Reader())
    >>> figures["verdict"], figures["certified"], figures["next"]["done"]
    ('no_test_weld', False, False)
    """
    here = answer.conditions
    unit = reader.temperature
    return {
        "verdict": answer.verdict,
        "says": reader.say("verdict", answer.verdict),
        "do": reader.say("do", answer.verdict),
        "bottom": edge_figures(answer.bottom, reader),
        "top": edge_figures(answer.top, reader),
        "set_point": set_point_figures(answer.set_point, reader),
        "certified": answer.certified,
        "confirmed_by": answer.confirmed_by,
        "counted": None
        if answer.counted is None
        else {
            "strips": answer.counted.strips,
            "bad": answer.counted.bad,
            "bad_share_limit": round(answer.counted.bad_share_limit, 3),
        },
        "p_window": round(answer.p_window, 3),
        "policies": {
            policy: set_point_figures(point, reader) for policy, point in answer.policies.items()
        },
        "fastest": set_point_figures(answer.fastest, reader),
        "changes_most": [
            {
                "change": each.change,
                "says": reader.say("change", each.change),
                "p_sound": round(each.p_sound, 3),
            }
            for each in answer.sensitivities
        ],
        "next": next_figures(answer.next, reader),
        "conditions": {
            f"speed_{reader.speed}": reader.travel(here.speed),
            f"sheet_{unit}": reader.air(here.sheet),
            f"ambient_{unit}": reader.air(here.ambient),
        },
        "cautions": caution_figures(answer.cautions, reader),
        "version": answer.version,
        "model": answer.model,
    }
