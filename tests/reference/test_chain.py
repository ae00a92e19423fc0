"""The bytes behind the chain and the ids, against the standards that define them."""

from __future__ import annotations

import hashlib
import json
import struct
import uuid

import pytest

from lapwright.record.canonical import canonical_json
from lapwright.record.chain import NOTHING, canonical, seal
from lapwright.record.fact import read_fact
from lapwright.record.ids import uuid7

# RFC 8785, JSON Canonicalization Scheme, 2020, section 3.2.2 (input) and 3.2.4 (bytes).
INPUT = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
BYTES = """
7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22
6e 75 6d 62 65 72 73 22 3a 5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b
33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37 5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2
82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
"""
# Section 3.2.3: names in the order of their UTF-16 code units.
SORTED = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
# Appendix B: bits of the double, and how it is written.
NUMBERS = {
    "0000000000000000": "0", "8000000000000000": "0",
    "0000000000000001": "5e-324", "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308", "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992", "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000", "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23", "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000", "444b1ae4d6e2ef4f": "999999999999999900000",
    "444b1ae4d6e2ef50": "1e+21", "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "3eb0c6f7a0b5ed8d": "0.000001", "41b3de4355555553": "333333333.3333332",
    "41b3de4355555554": "333333333.33333325", "41b3de4355555555": "333333333.3333333",
    "41b3de4355555556": "333333333.3333334", "41b3de4355555557": "333333333.33333343",
    "becbf647612f3696": "-0.0000033333333333333333", "43143ff3c1cb0959": "1424953923781206.2",
}  # fmt: skip


def a_fact(question: object) -> dict[str, object]:
    """A decision that carries any JSON in its question."""
    one = "01976d00-0000-7000-8000-00000000000a"
    return {
        "id": one, "job": one, "kind": "decision", "at": "2026-05-04T07:40:00-06:00",
        "entered_at": "2026-05-04T07:40:00-06:00", "by": "", "entered_by": "local",
        "device": "phone-1", "note": "",
        "body": {
            "machine": one, "operator": one, "power_setup": None, "pairing": None,
            "test_welds": [], "question": question, "answer": {}, "worked_out": "server",
            "model": "m", "accepted": True,
        },
    }  # fmt: skip


def test_the_example_of_the_standard_gives_its_bytes() -> None:
    """A fact that holds the example of RFC 8785 holds, canonically, the bytes printed there."""
    expected = bytes.fromhex(BYTES)
    assert canonical_json(json.loads(INPUT)) == expected
    assert expected in canonical(read_fact(a_fact(json.loads(INPUT))))


def test_names_are_sorted_as_in_the_standard() -> None:
    """Names stand in the order of UTF-16 units, which is neither Python's order nor the input's."""
    question = dict.fromkeys(reversed(SORTED), 1)
    found = json.loads(canonical(read_fact(a_fact(question))))
    assert list(found["body"]["question"]) == SORTED
    assert sorted(SORTED) != SORTED


@pytest.mark.parametrize("bits", NUMBERS)
def test_numbers_are_written_as_in_the_standard(bits: str) -> None:
    """Each double of appendix B is written as it stands there."""
    (value,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical_json(value).decode() == NUMBERS[bits]


def test_the_seal_is_the_hash_of_what_it_says() -> None:
    """An entry's hash is SHA-256 over place, clock, hash before and fact, written by hand here.

    SHA-256 is FIPS 180-4; its first test value, of "abc", is checked beside it.
    """
    abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(b"abc").hexdigest() == abc
    fact = read_fact(a_fact({}))
    entry = seal(fact, seq=7, received_at="2026-05-04T13:40:01Z", before=NOTHING)
    by_hand = (
        b'{"before":"' + b"0" * 64 + b'","fact":' + canonical(fact)
        + b',"received_at":"2026-05-04T13:40:01Z","seq":7}'
    )  # fmt: skip
    assert entry.hash == hashlib.sha256(by_hand).hexdigest()


# RFC 9562, Universally Unique IDentifiers, 2024, appendix A.6: 22 February 2022 2:22:22 PM
# GMT-05:00, rand_a CC3, rand_b 18C4DC0C0C07398F.
EXAMPLE = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_the_example_id_of_the_standard() -> None:
    """Its clock and chance give the id of RFC 9562; another library reads version and variant."""
    made = uuid7(1_645_557_742_000, bytes.fromhex("0cc318c4dc0c0c07398f"))
    assert made == EXAMPLE
    assert (uuid.UUID(made).version, uuid.UUID(made).variant) == (7, uuid.RFC_4122)
