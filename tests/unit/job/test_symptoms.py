"""The table of symptoms, and its order by what the record makes likely."""

from __future__ import annotations

import pytest

from lapwright.job.clues import Clue
from lapwright.job.symptoms import _CAUSES, BY_NAME, SYMPTOMS, likely
from lapwright.record.work import DEFECTS, PULLS
from lapwright.words import LANGUAGES, Language, say


def test_without_a_log_the_whole_table_is_there() -> None:
    """Nobody needs a record to ask: every symptom in its order, nothing marked."""
    told = likely()
    assert [each.symptom for each in told] == list(SYMPTOMS)
    assert not any(each.clues or any(mark for _, mark in each.causes) for each in told)


def test_what_somebody_sees_comes_with_the_commonest_cause_first() -> None:
    """One row, as the trade tells it."""
    (told,) = likely("peels_clean")
    assert [cause for cause, _ in told.causes][:3] == ["too_fast", "air_cool", "volts_low"]
    with pytest.raises(KeyError):
        likely("bad luck")


def test_the_record_moves_its_cause_to_the_front() -> None:
    """Volts measured low: of cold peels that cause comes first, and is marked."""
    (told,) = likely("peels_clean", clues=[Clue("volts_low")])
    assert told.causes[0] == ("volts_low", True)
    assert [mark for _, mark in told.causes[1:]] == [False] * 5
    assert told.clues == (Clue("volts_low"),)


def test_the_record_orders_the_symptoms() -> None:
    """Even voids and roller marks speak for the roller; what nothing speaks for is left out."""
    told = likely(clues=[Clue("pull", "cold"), Clue("even_spacing"),
                         Clue("defect_type", "roller_mark")])  # fmt: skip
    assert [each.symptom.name for each in told] == ["voids_spaced", "peels_clean"]


def test_a_clue_for_a_cause_alone_names_no_symptom() -> None:
    """Concrete lies below many symptoms: with a cold peel it is told there and nowhere else."""
    told = likely(clues=[Clue("concrete"), Clue("pull", "cold")])
    assert [each.symptom.name for each in told] == ["peels_clean"]
    assert told[0].causes[0] == ("concrete", True)


def test_every_clue_of_the_table_can_be_given() -> None:
    """Grades and defects that the table listens for are ones that a fact may hold."""
    keys = {key for symptom in SYMPTOMS for key in symptom.clues}
    keys |= {key for keys_ in _CAUSES.values() for key in keys_}
    for key in keys:
        name, _, of = key.partition(":")
        assert name != "pull" or of in PULLS, key
        assert name != "defect_type" or of in DEFECTS, key
    assert set(_CAUSES) <= {cause for symptom in SYMPTOMS for cause in symptom.causes}
    assert len(BY_NAME) == len(SYMPTOMS)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_row_is_worded(language: Language) -> None:
    """Symptom, causes and what to do are said in each language."""
    for symptom in SYMPTOMS:
        assert say("symptom", symptom.name, language=language)
        assert say("symptom_do", symptom.name, language=language)
        for cause in symptom.causes:
            assert say("cause", cause, language=language)
