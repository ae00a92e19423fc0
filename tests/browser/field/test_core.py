"""The page's pure parts in a real browser: ids, checks, the fold, the outbox, the day."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page
from tests import cast
from tests.golden.make_replay import PLACE, golden

from lapwright.record.fact import KINDS, read_fact
from lapwright.web.app import STATIC

GOLDEN: dict[str, Any] = json.loads(PLACE.read_text(encoding="utf-8"))
FIELD = STATIC / "field"
Run = Callable[..., Any]


@pytest.fixture
def run(open_page: Callable[..., Page]) -> Run:
    """Run a body on a value, in the page."""
    page = open_page()

    def ran(body: str, value: Any = None) -> Any:
        return page.evaluate(f"async (value) => {{ {body} }}", value)

    return ran


def test_ids_are_those_of_the_standard(run: Run) -> None:
    """The example of RFC 9562, appendix A.6, comes out to the letter."""
    body = """
        const { uuid7 } = await import("/field/ids.js");
        const chance = Uint8Array.from(value.match(/../g), (pair) => parseInt(pair, 16));
        return uuid7(0x017F22E279B0, chance);"""
    assert run(body, "0cc318c4dc0c0c07398f") == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_moments_carry_their_offset(run: Run) -> None:
    """The clock on the roof and its offset are written so that the server reads the moment."""
    body = """
        const { moment, stamp } = await import("/field/ids.js");
        const text = stamp(value, -330);
        return [text, moment(text) / 1000, moment("2026-05-04T07:00"), moment("soon")];"""
    text, read, *unread = run(body, 1_777_900_000_123)
    assert text == "2026-05-04T07:36:40.123-05:30"
    assert read == 1_777_900_000_123
    assert unread == [None, None] or all(value != value for value in unread)


def test_the_fold_is_that_of_the_server() -> None:
    """The golden file holds what ``record.replay`` gives today."""
    assert golden() == PLACE.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", GOLDEN)
def test_facts_come_to_the_same_state_as_on_the_server(run: Run, name: str) -> None:
    """Each case of the golden file, fact by fact, order by order."""
    body = """
        const { Record } = await import("/field/record.js");
        const { kinds } = await (await fetch("/field/tables.json")).json();
        const record = new Record(kinds, value.facts);
        const held = Object.fromEntries([...record.held].map(([id, one]) => [id, {
            fact: one.fact,
            corrections: one.corrections.map((each) => each.id),
            is_withdrawn: one.isWithdrawn,
        }]));
        const by_kind = Object.fromEntries(
            Object.keys(value.by_kind).map((kind) => [kind, record.all(kind).map(({ id }) => id)]));
        return { held, by_kind, order: [...record.held.keys()] };"""
    wanted = {key: GOLDEN[name][key] for key in ("held", "by_kind", "order")}
    assert run(body, GOLDEN[name]) == wanted


WRONG: list[tuple[str, dict[str, Any]]] = [
    ("fact", {"body": []}),
    ("id", {"id": "1"}),
    ("id", {"id": "0197A5A0-0000-7000-8000-000000000001"}),
    ("kind", {"kind": "toString"}),
    ("at", {"at": "2026-05-04T07:00:00"}),
    ("at", {"at": "2026-02-30T07:00:00-05:00"}),
    ("note", {"note": "a\x00b"}),
    ("note", {"note": "n" * 2001}),
    ("colour", {"body": {"colour": "white"}}),
    ("air", {"body": {"air": {"typed": "1e3", "unit": "f", "how": "set"}}}),
    ("air", {"body": {"air": {"typed": "850", "unit": "k", "how": "set"}}}),
    ("air", {"body": {"air": None}}),
    ("machine", {"body": {"machine": "3"}}),
    ("purpose", {"body": {"purpose": "fun"}}),
]


@pytest.mark.parametrize(("field", "change"), WRONG)
def test_what_the_server_refuses_is_not_recorded(
    run: Run, field: str, change: dict[str, Any]
) -> None:
    """The phone's check finds what the server's check finds; a whole fact passes both."""
    whole = cast.welded(1, "850 f", "f")[0].plain()
    body = {**whole["body"], **change["body"]} if isinstance(change.get("body"), dict) else None
    spoilt = {**whole, **change, **({"body": body} if body else {})}
    with pytest.raises(Exception, match=r"."):
        read_fact(spoilt)
    checks = """
        const { fault } = await import("/field/check.js");
        const { kinds } = await (await fetch("/field/tables.json")).json();
        return value.map((fact) => fault(kinds, fact));"""
    good, wrong = run(checks, [whole, spoilt])
    assert good is None
    assert wrong == ("body" if field == "fact" else field)


# A server in a few lines: what it answers is scripted, what it was sent is kept.
OUTBOX = """
    const { Outbox } = await import("/field/outbox.js");
    const kept = new Map(); const photos = new Map(); let clock = 1000; const sent = [];
    let isFull = false;
    const storage = {
        keep: async (facts) => {
            if (isFull) throw new DOMException("full", "QuotaExceededError");
            for (const fact of facts) kept.set(fact.id, { id: fact.id, fact, refused: null });
        },
        waiting: async () => [...kept.values()],
        drop: async (ids) => ids.forEach((id) => kept.delete(id)),
        refuse: async (id, refused) => { kept.get(id).refused = refused; },
        keepPhoto: async (photo) => photos.set(photo.sha, { ...photo, refused: null }),
        photos: async () => [...photos.values()],
        dropPhoto: async (sha) => photos.delete(sha),
        refusePhoto: async (sha, refused) => { photos.get(sha).refused = refused; },
        forgive: async () => { for (const each of kept.values()) each.refused = null; },
    };
    const outbox = new Outbox({ storage, clock: () => clock });
    const fact = (id, job = "j") => ({ id, job, kind: "run" });
    const answer = (status, body) => ({ ok: status < 400, status, json: async () => body });
    const receipts = (body, status = "kept") => answer(200, {
        receipts: JSON.parse(body).facts.map(({ id }) => ({ id, status })) });
"""


def test_a_fact_leaves_the_outbox_on_its_receipt_only(run: Run) -> None:
    """Lost answers, broken servers and answers about other facts leave everything in place."""
    body = f"""{OUTBOX}
        await outbox.add([fact("a"), fact("b")]);
        const ways = [
            async () => {{ throw new TypeError("nobody there"); }},
            async () => answer(503, {{}}),
            async () => answer(200, {{ receipts: [] }}),
            async () => answer(200, {{ receipts: [{{ id: "z", status: "kept" }}] }}),
        ];
        const after = [];
        for (const way of ways) {{ await outbox.send(way); after.push([...kept.keys()].join("")); }}
        await outbox.send(async (path, {{ body }}) => receipts(body, "had"));
        return [after, [...kept.keys()]];"""
    assert run(body) == [["ab"] * 4, []]


def test_a_refused_fact_stays_in_sight_with_its_reason(run: Run) -> None:
    """One bad fact holds up no other, is not sent again by itself, and says why."""
    body = f"""{OUTBOX}
        await outbox.add([fact("a"), fact("b")]);
        const refuse = async (path, {{ body }}) => {{
            sent.push(body);
            return answer(200, {{ receipts: JSON.parse(body).facts.map(({{ id }}) =>
                id === "a"
                    ? {{ id, status: "refused", code: "fact_value", field: "air", message: "no" }}
                    : {{ id, status: "kept" }}) }});
        }};
        await outbox.send(refuse);
        await outbox.send(refuse);
        const facts = structuredClone((await outbox.pending()).facts);
        await outbox.retry();
        await outbox.send(async (path, {{ body }}) => receipts(body));
        return [facts, sent.length, kept.size];"""
    facts, times, left = run(body)
    assert [one["refused"] for one in facts] == [
        {"code": "fact_value", "field": "air", "message": "no"}
    ]
    assert (times, left) == (1, 0)


def test_a_batch_that_is_refused_whole_is_halved_to_the_fact_at_fault(run: Run) -> None:
    """A server that takes no batch with "c" in it gets all the others."""
    body = f"""{OUTBOX}
        await outbox.add("abcdefg".split("").map((id) => fact(id)));
        const result = await outbox.send(async (path, {{ body }}) =>
            body.includes('"c"')
                ? answer(422, {{ error: {{ code: "bad_request" }} }})
                : receipts(body));
        return [[...kept.keys()], result.sent, result.lost];"""
    assert run(body) == [["c"], 6, False]


def test_one_upload_at_a_time_and_one_job_in_each(run: Run) -> None:
    """Two calls make one upload; facts of two jobs never travel together."""
    body = f"""{OUTBOX}
        await outbox.add([fact("a", "j"), fact("b", "k"), fact("c", "j")]);
        const post = async (path, {{ body }}) => {{
            sent.push(path);
            return receipts(body);
        }};
        await Promise.all([outbox.send(post), outbox.send(post)]);
        return sent;"""
    assert run(body) == ["api/jobs/j/facts", "api/jobs/k/facts"]


def test_the_wait_after_a_failure_grows_and_has_an_end(run: Run) -> None:
    """Doubling from two seconds to a minute, and none once the server has answered."""
    body = f"""{OUTBOX}
        await outbox.add([fact("a")]);
        const waits = [];
        for (let n = 0; n < 8; n++) {{
            await outbox.send(async () => answer(503, {{}}));
            waits.push((outbox.due - clock) / 1000);
        }}
        await outbox.send(async (path, {{ body }}) => receipts(body));
        return [waits, outbox.due];"""
    assert run(body) == [[2, 4, 8, 16, 32, 60, 60, 60], 0]


def test_with_no_room_left_a_fact_lives_on_and_is_sent(run: Run) -> None:
    """Full storage is told; the fact still counts as unsent, is in the file, and is sent."""
    body = f"""{OUTBOX}
        isFull = true;
        const isKept = await outbox.add([fact("a")]);
        const file = await outbox.exportFile();
        const waiting = (await outbox.pending()).facts.length;
        const before = [isKept, outbox.loose, waiting, file.includes('"id":"a"')];
        await outbox.send(async (path, {{ body }}) => receipts(body));
        return [before, outbox.loose];"""
    assert run(body) == [[False, 1, 1, True], 0]


def test_the_file_of_the_unsent_goes_back_into_an_outbox(run: Run) -> None:
    """Facts and photos come out of the file as they went in; another file is refused."""
    body = f"""{OUTBOX}
        const blob = new Blob([new Uint8Array([255, 216, 0, 7])]);
        await outbox.add([fact("a"), fact("b")]);
        await outbox.addPhoto({{ sha: "s", job: "j", blob }});
        const file = await outbox.exportFile();
        kept.clear(); photos.clear();
        const taken = await outbox.importFile(file);
        const bytes = [...new Uint8Array(await photos.get("s").blob.arrayBuffer())];
        const other = await outbox.importFile("[]");
        return [taken.map(({{ id }}) => id), [...kept.keys()], bytes, other];"""
    assert run(body) == [["a", "b"], ["a", "b"], [255, 216, 0, 7], None]


# --- files and words -------------------------------------------------------------------------


def scripts() -> list[Path]:
    """The page's own programs."""
    return sorted(FIELD.rglob("*.js"))


def test_the_queue_and_the_likelihood_draw_nothing() -> None:
    """``outbox.js``, the fold and the window touch no page; screens touch no storage."""
    pure = [FIELD / name for name in (
        "outbox.js", "record.js", "check.js", "ids.js", "day.js", "seams.js", "strips.js",
        "chain.js",
    )] + [FIELD / "weigh" / "window.js"]  # fmt: skip
    for path in pure:
        assert not re.search(r"\b(document|window|indexedDB|localStorage)\.", path.read_text())
    for path in (FIELD / "screens").iterdir():
        assert not re.search(r"indexedDB|openDB|localStorage", path.read_text()), path.name


def test_both_languages_have_the_same_words_with_the_same_gaps() -> None:
    """A key missing in one language, or another gap in it, would show as a hole on the roof."""
    english, spanish = (
        json.loads((FIELD / f"words.{lang}.json").read_text(encoding="utf-8"))
        for lang in ("en", "es")
    )
    assert list(english) == list(spanish)
    for key, text in english.items():
        gaps, other = (set(re.findall(r"\{\w+\}", words)) for words in (text, spanish[key]))
        assert gaps == other, key


def test_no_word_is_missing_and_none_is_idle() -> None:
    """Every key that a screen says is in the lists; every key of the list is said somewhere."""
    source = "\n".join(path.read_text(encoding="utf-8") for path in scripts())
    words = json.loads((FIELD / "words.en.json").read_text(encoding="utf-8"))
    said = json.loads((FIELD / "said" / "words.en.json").read_text(encoding="utf-8"))
    kit = json.loads((STATIC / "kit" / "words.en.json").read_text(encoding="utf-8"))
    late = json.loads((FIELD / "learn" / "words.en.json").read_text(encoding="utf-8"))
    plain = set(re.findall(r'say\("([\w.]+)"', source))
    assert plain - set(words) - set(kit) - set(said) - set(late) == set()
    made = set(re.findall(r"say\(`([\w.]+)\.\$\{", source))
    lists = {f"word.{name}" for name in re.findall(r'wordsOf\(say, "(\w+)"', source)}
    heads = tuple(f"{head}." for head in made | lists | {"word"})
    literal = set(re.findall(r'"([a-z_.]+)"', source))
    idle = [
        key for key in {**words, **late} if key not in plain | literal and not key.startswith(heads)
    ]
    assert idle == []


def test_every_word_of_every_field_has_a_name_in_both_languages() -> None:
    """Kinds, defects, pulls and corners of the record all have words on the page."""
    words = json.loads((FIELD / "words.es.json").read_text(encoding="utf-8"))
    wanted = {f"kind.{kind}" for kind in KINDS}
    for kind, field, name in (
        ("defect", "type", "defect"), ("strip", "pull", "pull"), ("hot_look", "corner", "corner"),
        ("run_end", "reason", "stop_reason"), ("decision", "reason", "reason"),
        ("event", "reason", "event_reason"), ("event", "answer", "answered"),
        ("repair", "method", "method"), ("cut", "why", "why"), ("conditions", "wind", "wind"),
        ("conditions", "sun", "sun"), ("conditions", "substrate", "substrate"),
        ("defect", "found_by", "found_by"), ("lot", "backing", "backing"),
        ("sign_off", "statement", "statement"), ("correction", "reason", "why_wrong"),
        ("person", "tasks", "tasks"),
    ):  # fmt: skip
        wanted |= {f"word.{name}.{word}" for word in KINDS[kind][field].among}
    assert wanted - set(words) == set()
