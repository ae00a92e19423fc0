"""Who says a rule, in the reader's language."""

from __future__ import annotations

import pytest

from lapwright.job.rules import Clause
from lapwright.readings.rules import read_rule_book
from lapwright.report.figures import Reader
from lapwright.report.rulestext import source_text

DEFAULTS = [rule.governing for rule in read_rule_book([]).rules.values()]


@pytest.mark.parametrize("clause", DEFAULTS, ids=lambda clause: clause.rule)
def test_a_default_says_its_source_in_both_languages(clause: Clause) -> None:
    """The English words are those of the rule file; the Spanish ones are others."""
    assert clause.text in source_text(clause, Reader("en", "us"))
    assert clause.text not in source_text(clause, Reader("es", "us"))
