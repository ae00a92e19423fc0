"""Lengths as people write them on a roof: feet and inches, fractions, metres."""

from __future__ import annotations

import re

from lapwright.units import to_si

_NUMBER = r"\d{1,7}(?:\.\d{0,6})?"
_FEET_INCHES = re.compile(
    rf"""(?P<minus>[-−])?\s*
    (?:(?P<feet>{_NUMBER})\s*(?:'|\u2032|\u2019|ft\b|pies?\b)\s*-?\s*)?
    (?:(?:(?P<inches>{_NUMBER})(?:[\s-]+(?P<top>\d{{1,3}})/(?P<bottom>\d{{1,3}}))?
      |(?P<only_top>\d{{1,3}})/(?P<only_bottom>\d{{1,3}}))
    \s*(?:"|\u2033|\u201d|''|in\b|pulg\b))?""",
    re.VERBOSE | re.IGNORECASE,
)
_METRIC = re.compile(rf"(?P<minus>[-−])?\s*(?P<value>{_NUMBER})\s*(?P<unit>mm|m)", re.IGNORECASE)


def read_length(text: str) -> float | None:
    r"""A length with its marks; None when it is not one. [m]

    Examples
    --------
    >>> lengths = ["431'", '12\'-6 1/2"', "9 in", "-3 ft 3 in", "2.5 m", "40 mm", "12"]
    >>> [None if (found := read_length(each)) is None else round(found, 4) for each in lengths]
    [131.3688, 3.8227, 0.2286, -0.9906, 2.5, 0.04, None]
    """
    written = " ".join(text.split())
    if metric := _METRIC.fullmatch(written):
        sign = -1 if metric["minus"] else 1
        return sign * to_si(float(metric["value"]), metric["unit"].lower())
    found = _FEET_INCHES.fullmatch(written)
    if found is None or not re.search(r"\d", written):
        return None
    inches = float(found["inches"] or 0)
    top, bottom = (found[name] or found[f"only_{name}"] for name in ("top", "bottom"))
    if top is not None:
        if int(bottom) == 0 or int(top) >= int(bottom):
            return None
        inches += int(top) / int(bottom)
    if found["feet"] is not None and inches >= 12:
        return None  # 12' 18": somebody read the tape twice
    length = to_si(float(found["feet"] or 0), "ft") + to_si(inches, "in")
    return -length if found["minus"] else length
