"""What a plain count proves, without any model: exact one-sided limits.

Used by ``window`` (strips near a set point) and by ``proof`` (cuts, probed feet), which
do not know each other.
"""

from __future__ import annotations

from scipy.special import betaincinv, gammaincinv

from lapwright.errors import OutOfRange

CONFIDENCE = 0.95  # -; one-sided; common practice, no source


def bad_share_limit(bad: int, *, of: int, confidence: float = CONFIDENCE) -> float:
    """Share of bad ones that a count still leaves possible.

    Parameters
    ----------
    bad, of : int
        Bad strips or cuts, and all that were pulled; ``bad`` from 0 to ``of``.
    confidence : float
        One-sided, between 0 and 1. [-]

    Returns
    -------
    float
        Exact upper limit; 1 when nothing was pulled. [-]

    Raises
    ------
    OutOfRange
        ``bad`` is not within 0 to ``of``.

    Notes
    -----
    Takes strips for random and independent. Strips of one weld are neither, and welds fail
    in stretches, so the real proof is weaker still.

    References
    ----------
    Clopper and Pearson, Biometrika 26, 1934.

    Examples
    --------
    Three clean strips of three:

    >>> round(bad_share_limit(0, of=3), 2)
    0.63
    """
    if not 0 <= bad <= of:
        raise OutOfRange("bad", bad, above=-1, below=of + 1)
    return 1.0 if bad == of else float(betaincinv(bad + 1, of - bad, confidence))


def rate_limit(found: int, *, length: float, confidence: float = CONFIDENCE) -> float:
    """Voids per metre of seam that a count still leaves possible.

    Parameters
    ----------
    found : int
        Voids found; 0 or more.
    length : float
        Seam looked at, above zero. [m]
    confidence : float
        One-sided, between 0 and 1. [-]

    Returns
    -------
    float
        Exact upper limit. [1/m]

    Raises
    ------
    OutOfRange
        ``found`` is below zero, or ``length`` not above it.

    Notes
    -----
    Takes voids for scattered at random along the seam (Poisson) and every one for found.

    References
    ----------
    Garwood, Biometrika 28, 1936; from memory.

    Examples
    --------
    1,000 ft (304.8 m) without a void still allow three in 1,000 ft:

    >>> round(rate_limit(0, length=304.8) * 304.8, 1)
    3.0
    """
    if found < 0:
        raise OutOfRange("voids", found, above=-1)
    if not length > 0:
        raise OutOfRange("seam", length, above=0.0)
    return float(gammaincinv(found + 1, confidence)) / length
