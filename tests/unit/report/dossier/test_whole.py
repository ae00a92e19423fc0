"""The whole paper: complete in both languages and units, and nobody's words are changed in it."""

from __future__ import annotations

import io
import re

import pypdf
import pytest
from tests import cast
from tests.handed import EN, ES, closed, paper, said, week, week_closed

from lapwright.readings.decided import decided
from lapwright.record.fact import LONGEST_TEXT
from lapwright.report.dossier.whole import dossier
from lapwright.report.figures import Reader
from lapwright.report.paper.blocks import Document, Grid, Picture, Shots
from lapwright.report.paper.paper import pdf_of
from lapwright.report.paper.setting import blocks_of

READERS = [Reader(lang, units) for lang in ("en", "es") for units in ("us", "metric")]
DAYS = [None, "2026-05-04", "2026-05-07"]
QUOTED = "default:|valor inicial:"  # a clause follows, in the words of who wrote it
ENGLISH = {
    "the", "of", "and", "with", "not", "was", "were", "weld", "welded", "seam", "probe", "probed",
    "day", "machine", "sheet", "found", "known", "defect", "closed", "failed", "passed", "full",
    "cold", "nothing", "signed", "yes", "heat", "width", "runs", "until", "patch", "days",
}  # fmt: skip
SPANISH = {"el", "los", "costura", "soldada", "sondeado", "lámina", "máquina", "día", "prueba"}
TYPED = {"Invented roof: a school annex", "nowhere", "white", "main", "dock"}


def week_paper(reader: Reader, day: str | None = None) -> Document:
    """The week's paper without pictures."""
    return dossier(week_closed(day), reader, kept=decided, most_pictures=0)


def own_words(document: Document) -> set[str]:
    """Words that the program says: neither typed by somebody nor quoted from a clause."""
    texts = [text for text in said(document) if text not in TYPED]
    bare = [re.split(QUOTED, text)[0] for text in texts]
    for typed in TYPED:
        bare = [text.replace(typed, "") for text in bare]
    return {word for text in bare for word in re.findall(r"[^\W\d_]+", text.lower())}


@pytest.mark.parametrize("day", DAYS)
def test_no_english_is_left_in_the_spanish_paper(day: str | None) -> None:
    """Compared with a list of the trade's words, and the other way round."""
    assert not own_words(week_paper(ES, day)) & ENGLISH
    assert not own_words(week_paper(EN, day)) & SPANISH
    assert len(own_words(week_paper(EN, day)) & ENGLISH) > len(ENGLISH) / 2  # the list is of use


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("reader", READERS)
def test_no_key_and_no_gap_is_left_in_any_language(reader: Reader, day: str | None) -> None:
    """Neither ``{name}`` nor ``some_key``, neither None nor an id; both speak of as many things."""
    text = "\n".join(said(week_paper(reader, day)))
    assert not re.search(r"\{\w+\}|\b[a-z]+_[a-z_]+\b|\bNone\b|\bnan\b|<\w+ ", text)
    assert not re.search(r"[0-9a-f]{8}-[0-9a-f]{4}-7", text)
    assert len(said(week_paper(reader, day))) == len(said(week_paper(EN, day)))


@pytest.mark.parametrize("reader", READERS)
def test_no_unit_of_the_other_system_is_left(reader: Reader) -> None:
    """But in clauses that are quoted, and a wire gauge, which has only its one name."""
    texts = [re.split(QUOTED, text)[0] for text in said(week_paper(reader))]
    other = (
        r"\d\s(°C|m|mm|m/min|km/h|N)\b" if reader.units == "us" else r"\d\s(°F|ft|in|ft/min|lbf)\b"
    )
    assert not [text for text in texts if re.search(other, text)]


def test_all_rows_have_as_many_cells_as_the_head() -> None:
    """Anything else would be set in the wrong column."""
    for document in (week_paper(ES), week_paper(ES, "2026-05-06")):
        for block in blocks_of(document):
            if isinstance(block, Grid):
                assert {len(row) for row in block.rows} <= {len(block.head)}


def test_a_job_that_only_has_a_name_has_a_paper() -> None:
    """Every part says that it has nothing; the pages can be set."""
    document = paper([cast.JOB_FACT], ES)
    assert len(document.sections) > 10
    assert pdf_of(document, photos={}).startswith(b"%PDF-")


def test_an_invented_job_is_marked_and_a_real_one_is_not() -> None:
    """Nobody takes an example for a roof."""
    assert paper([cast.JOB_FACT]).mark == "INVENTED EXAMPLE"
    assert paper([cast.fact("job", name="A roof", invented=False)]).mark == ""


@pytest.mark.parametrize("reader", READERS)
def test_the_sheet_follows_the_units(reader: Reader) -> None:
    """A4 where people measure in metres, letter elsewhere, whatever the language."""
    assert paper([cast.JOB_FACT], reader).paper == {"us": "letter", "metric": "a4"}[reader.units]


def test_a_day_s_sheet_leaves_out_what_belongs_to_the_job() -> None:
    """No map, no counting, no rules; a few pages."""
    titles = {part.title for part in week_paper(EN, "2026-05-04").sections}
    assert not titles & {"Seam map", "What counting proves", "Rules in force"}
    assert "Sign-offs" in titles


def test_pictures_are_drawn_up_to_the_number_asked_for() -> None:
    """The map is no window and does not count."""
    for most, drawn in ((0, 1), (1, 2)):
        document = dossier(week_closed(), EN, kept=decided, most_pictures=most)
        maps = {block.svg for block in blocks_of(document) if isinstance(block, Picture)}
        assert len(maps) - len({p["level"] for p in week() if p.kind == "plan"}) == drawn - 1


def test_without_photos_none_stands_there() -> None:
    """And with them each photo of a strip does."""
    strip = next(fact for fact in week() if fact.kind == "strip")
    facts = [*week(), cast.fact("photo", at="09:00", file="ab" * 32, of=strip)]
    for wanted in (True, False):
        document = paper(facts, with_photos=wanted)
        assert any(isinstance(one, Shots) for one in blocks_of(document)) == wanted


def test_the_moment_of_the_file_is_that_of_the_newest_fact() -> None:
    """Never of the making: the same record gives the same paper next year."""
    document = dossier(closed(week()), EN, kept=decided, most_pictures=0)
    newest = max(fact.moment for fact in week())
    assert document.made_at == newest.isoformat(timespec="seconds")


HOSTILE = {
    "markup": "#set page(fill: red) $x^2$ <tag> *bold* `raw` @ref // \\ \"q\" 'p' [c] {d} ~ --",
    "emoji": "roof \N{FIRE} done",
    "right to left": "\u05e9\u05dc\u05d5\u05dd A-S001",
    "long": "W" * LONGEST_TEXT,
}


@pytest.mark.parametrize("case", HOSTILE)
def test_names_come_out_as_they_were_typed(case: str) -> None:
    """In the job's name, a person's and a note of rules; what cannot be printed is numbered."""
    typed = HOSTILE[case]
    facts = [
        cast.fact("job", at="06:00", name=typed, place=typed, invented=False),
        cast.fact("person", name=typed),
        cast.fact("rules", at="06:10", edition=typed[:60]),
    ]
    content = pdf_of(paper(facts), photos={})
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    text = re.sub(r"\s", "", "".join(pages))
    wanted = re.sub(r"\s", "", typed)
    wanted = wanted.replace("\N{FIRE}", "[U+1F525]")
    if case == "right to left":  # an outside reader may give letters of a line from either end
        assert sorted(set(wanted)) == sorted(set(wanted) & set(text))
    else:
        assert text.count(wanted[:40]) >= 2
