"""Makes replay.json: what a job's facts come to, for the fold of the server and of the phone.

python -m tests.golden.make_replay

Written by ``record.replay`` and read by both languages: it proves that they are alike, not
that either is right. That is proved rule by rule in ``tests/unit/record``.
"""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

from tests import cast

from lapwright.record.fact import Fact
from lapwright.record.replay import Record

PLACE = Path(__file__).with_name("replay.json")


def corrected(of: Fact, field: str, new: Any, *, at: str, **more: Any) -> Fact:
    """A correction of one field."""
    return cast.fact("correction", of=of.id, field=field, new=new, at=at, **more)


def cases() -> dict[str, list[Fact]]:
    """Facts as they may arrive, by what they show."""
    day, few = cast.morning(), cast.welded(1, "600 f", "ccc")
    weld, _look, strip, *_ = few
    early = corrected(strip, "pull", "skin", at="09:00")
    late = corrected(strip, "pull", "full", at="09:30")
    undone = corrected(weld, "withdrawn", True, at="09:00")
    again = corrected(weld, "withdrawn", False, at="09:10")
    shuffled = [*few, *cast.welded(2, "700 f", "pfp", heat="glaze", at="07:09"), early, late]
    random.Random(4).shuffle(shuffled)
    celsius = {"typed": "480,5", "unit": "c", "how": "measured"}
    return {
        "a whole morning": day,
        "any order, and twice": [*shuffled, *shuffled[:9]],
        "the later typed correction counts": [strip, late, early],
        "typed in the same second: the id decides": [
            strip, corrected(strip, "pull", "cold", at="09:00", note="one"), early,
        ],
        "a correction before what it corrects": [early, strip],
        "a correction of what never came": [early],
        "taken back": [*few, undone],
        "taken back, and that taken back": [*few, again, undone],
        "a value that the field cannot hold": [
            weld, strip,
            corrected(strip, "pull", "excellent", at="09:00"),
            corrected(strip, "colour", "white", at="09:01"),
            corrected(weld, "air", {"typed": "hot", "unit": "f", "how": "set"}, at="09:02"),
            corrected(weld, "at", "yesterday", at="09:03"),
            corrected(weld, "air", None, at="09:04"),
            corrected(weld, "machine", "3", at="09:05"),
            corrected(weld, "note", "seen\x07twice", at="09:06"),
        ],
        "another moment moves the fact": [
            *few, *cast.welded(2, "700 f", "p", at="07:09"),
            corrected(weld, "at", "2026-05-04T11:59:30.250001-05:00", at="12:00"),
        ],
        "another reading, another person, a note": [
            *few,
            corrected(weld, "air", celsius, at="09:00"),
            corrected(weld, "by", cast.TOM.id, at="09:01"),
            corrected(weld, "note", "áéñ, wet", at="09:02"),
            corrected(weld, "load", None, at="09:03"),
        ],
        "a correction is not corrected": [
            strip, early, corrected(early, "new", "cold", at="09:40"),
        ],
        "moments in other zones": [
            cast.fact("conditions", at="2026-05-04T12:00:00Z", note="second"),
            cast.fact("conditions", at="2026-05-04T06:59:59.999999-05:00", note="first"),
            cast.fact("conditions", at="2026-05-04T14:00:00.000001+02:00", note="third"),
        ],
    }  # fmt: skip


def state(facts: list[Fact]) -> dict[str, Any]:
    """What the facts come to, plain."""
    record = Record(facts)
    held = {
        one.first.id: {
            "fact": one.fact.plain(),
            "corrections": [each.id for each in one.corrections],
            "is_withdrawn": one.is_withdrawn,
        }
        for one in record.held.values()
    }
    kinds = sorted({fact.kind for fact in facts})
    return {
        "held": held,
        "order": list(held),
        "by_kind": {kind: [fact.id for fact in record.all(kind)] for kind in kinds},
    }


def golden() -> str:
    """The whole file, one case a line."""
    lines = [
        f"{json.dumps(name)}: "
        + json.dumps({"facts": [fact.plain() for fact in facts], **state(facts)}, sort_keys=True)
        for name, facts in cases().items()
    ]
    return "{\n" + ",\n".join(lines) + "\n}\n"


if __name__ == "__main__":
    PLACE.write_text(golden(), encoding="utf-8")
