"""Doubts and safety lines as data, travelling with a result.

A caution is a code and the SI values its sentence needs; ``words`` says it. It
never stops anybody: lapwright reminds, and never declares a roof or a person safe.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Caution:
    """One doubt or safety line.

    Parameters
    ----------
    code : str
        Key of the sentence in ``words/*.toml`` under ``[caution]``.
    data : dict
        SI values of the sentence; keys are glossary words.
    """

    code: str
    data: dict[str, float | str | None] = field(default_factory=dict)
