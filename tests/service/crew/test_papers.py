"""The papers that a server makes: who may have them, which day, in which words."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import httpx
import pypdf
import pytest
from tests import cast

from lapwright.handover.proving import prove_paper

JOB = "01976d00-0000-7000-8000-00000000000a"
WHERE = f"/api/jobs/{JOB}/closeout"


@pytest.fixture(scope="module")
def morning() -> list[dict[str, Any]]:
    """The cast with one test weld, as a phone sends it."""
    return [one.plain() for one in (*cast.SETUP, *cast.welded("T1", "850 f", "fff"))]


def asked(client: httpx.Client, **query: str) -> httpx.Response:
    """What the server answers to who wants a paper."""
    return client.get(WHERE, params=query)


def words(answer: httpx.Response) -> str:
    """All words of the PDF."""
    assert answer.status_code == 200, answer.text
    pages = pypdf.PdfReader(io.BytesIO(answer.content)).pages
    return "\n".join(page.extract_text() for page in pages)


@pytest.mark.parametrize(
    ("role", "status"),
    [("foreman", 200), ("quality", 200), ("inspector", 200), ("welder", 403), ("prober", 403)],
)
def test_who_may_have_the_paper(
    crew: Any, tell: Callable[..., Any], role: str, status: int
) -> None:
    """Who answers for the job and who inspects it; who welds or probes it, not."""
    tell(crew.client("foreman"), crew.fact("foreman", 1, "job", name="Invented roof"))
    answer = asked(crew.client(role))
    assert answer.status_code == status
    assert answer.content.startswith(b"%PDF-") == (status == 200)


def test_the_paper_proves_the_chain_of_the_server(
    alone: httpx.Client, tell: Callable[..., Any], morning: Any
) -> None:
    """What came over the net holds every entry, and its pages come out of it again."""
    head = tell(alone, *morning)["head"]
    answer = asked(alone)
    proved = prove_paper(answer.content, name="paper")
    assert proved.is_compared
    assert proved.checked.head.hash == head["hash"]


def test_the_file_is_named_and_kept_nowhere(
    alone: httpx.Client, tell: Callable[..., Any], morning: Any
) -> None:
    """The day in the name of its sheet; no cache on the way holds a record of the crew."""
    tell(alone, *morning)
    day = morning[0]["at"][:10]
    for answer, name in ((asked(alone), "closeout.pdf"), (asked(alone, day=day), f"{day}.pdf")):
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.headers["content-disposition"] == f'inline; filename="{name}"'
        assert answer.headers["cache-control"] == "no-store"


def test_it_speaks_the_reader_s_language_and_units(
    alone: httpx.Client, tell: Callable[..., Any], morning: Any
) -> None:
    """850 °F is 454 °C: (850 - 32) / 1.8 = 454.4."""
    tell(alone, *morning)
    english, spanish = words(asked(alone)), words(asked(alone, lang="es", units="metric"))
    assert "Close-out record" in english
    assert "850\u00a0°F" in english
    assert "Registro de cierre" in spanish
    assert "454\u00a0°C" in spanish
    assert "850\u00a0°F" not in spanish


@pytest.mark.parametrize(
    ("query", "status"),
    [({"day": "2031-01-01"}, 422), ({"day": "yesterday"}, 422), ({"day": "2026-99-99"}, 422),
     ({"lang": "xx"}, 422), ({"units": "stone"}, 422)],
)  # fmt: skip
def test_what_cannot_be_asked_is_refused(
    alone: httpx.Client, tell: Callable[..., Any], morning: Any, query: dict[str, str], status: int
) -> None:
    """With a sentence, never with an empty paper."""
    tell(alone, *morning)
    answer = asked(alone, **query)
    assert answer.status_code == status
    assert not answer.content.startswith(b"%PDF-")


def test_a_job_without_a_fact_has_no_paper(alone: httpx.Client) -> None:
    """Nothing is handed over for nothing."""
    assert asked(alone).status_code in (400, 404)


def test_a_new_fact_makes_a_new_paper(
    alone: httpx.Client, tell: Callable[..., Any], raw: Callable[..., Any], morning: Any
) -> None:
    """What is kept between two requests never hides what has come since."""
    tell(alone, *morning)
    first = asked(alone)
    assert asked(alone).content == first.content
    tell(alone, raw(91, "person", name="Marisol"))
    assert "Marisol" in words(asked(alone))
