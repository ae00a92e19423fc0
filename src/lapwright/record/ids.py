"""Ids made where the fact is made: no server, no collision, in the order of time."""

from __future__ import annotations

CREW_CHAIN = "00000000-0000-7000-8000-000000000000"  # job id of the facts about access itself


def uuid7(milliseconds: int, chance: bytes) -> str:
    """A UUID of version 7 from the clock and ten random bytes.

    Parameters
    ----------
    milliseconds : int
        Since 1970, UTC, below 2**48.
    chance : bytes
        Ten bytes from the system's source of chance.

    References
    ----------
    RFC 9562, Universally Unique IDentifiers, 2024, section 5.7.

    Examples
    --------
    The example of RFC 9562, appendix A.6:

    >>> uuid7(0x017F22E279B0, bytes.fromhex("0cc318c4dc0c0c07398f"))
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'
    """
    number = milliseconds << 80 | int.from_bytes(chance, "big")
    number = number & ~(0xF << 76) | 0x7 << 76
    number = number & ~(0x3 << 62) | 0x2 << 62
    text = f"{number:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
