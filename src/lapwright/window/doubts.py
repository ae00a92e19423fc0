"""What in the strips does not fit, said as cautions; nothing is ever dropped silently."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

from lapwright.cautions import Caution
from lapwright.physics.heat import REFERENCE_KAPPA, equivalent_air
from lapwright.window.belief import Belief
from lapwright.window.nextweld import outcome_chances
from lapwright.window.prior import Prior
from lapwright.window.setpoint import CONFIRM_WITHIN
from lapwright.window.strips import TestWeld

UNLIKELY = 0.01  # -; chance of an outcome as odd as this, given the other welds; our choice
MOSTLY_WELD = 0.6  # -; P(most spread is between welds) worth telling; our choice
EARLIER_FITS = 0.3  # -; weight of an earlier day below which it does not fit today; our choice
_COOLEST_LIKELY = 533.15  # K; 500 F: below it a setting was more likely meant in C; our choice
_DIAL = 0.1  # K; a setting this little above the limit is the limit, converted; our choice
_MUCH_BELOW = 50 / 1.8  # K; measured air this far below the set one is told; our choice
ODD_STRIPS = 2  # strips by which a hotter weld must be colder to contradict; our choice


def odd_welds(prior: Prior, welds: Sequence[TestWeld]) -> tuple[str, ...]:
    """Welds whose strips the other welds make very unlikely, or turn upside down.

    Parameters
    ----------
    prior : Prior
        Belief before the first strip.
    welds : sequence of TestWeld
        All welds of the morning.

    Returns
    -------
    tuple of str
        Numbers of the odd welds, in the order of ``welds``.

    Notes
    -----
    Each weld is weighed against the belief from the others: the chance of its outcome
    or one no likelier. A hotter weld that opened cold on two strips where a cooler one
    was full on two contradicts it, whatever the chance.

    References
    ----------
    Posterior predictive check; our choice of limits.
    """
    odd = set()
    for weld in welds:
        others = Belief.before(prior).observe_all(each for each in welds if each is not weld)
        if len(welds) > 1 and _outcome_chance(others, weld) < UNLIKELY:
            odd.add(weld.number)
    heats = {weld.number: _heat(weld, REFERENCE_KAPPA) for weld in welds}
    for hot, cool in permutations(welds, 2):
        upside_down = hot.bond_counts[0] >= ODD_STRIPS and cool.bond_counts[2] >= ODD_STRIPS
        if upside_down and heats[hot.number] > heats[cool.number]:
            odd.update((hot.number, cool.number))
    return tuple(weld.number for weld in welds if weld.number in odd)


def unrepeated(welds: Sequence[TestWeld], odd: Sequence[str]) -> TestWeld | None:
    """The first odd weld that nobody repeated at about its heat.

    Parameters
    ----------
    welds : sequence of TestWeld
        All welds of the morning.
    odd : sequence of str
        From :func:`odd_welds`.

    Returns
    -------
    TestWeld or None
        Until it is repeated, nothing is certified.
    """
    heats = {weld.number: _heat(weld, REFERENCE_KAPPA) for weld in welds}
    for weld in welds:
        others = (heats[other.number] for other in welds if other is not weld)
        again = any(abs(heat - heats[weld.number]) <= CONFIRM_WITHIN for heat in others)
        if weld.number in odd and not again:
            return weld
    return None


def _heat(weld: TestWeld, kappa: float) -> float:
    return float(equivalent_air(weld.true_air, sheet=weld.sheet, speed=weld.speed, kappa=kappa))


def _outcome_chance(belief: Belief, weld: TestWeld) -> float:
    """Chance of this weld's pulls, or of its signs, or of anything no likelier."""
    x = _heat(weld, belief.mean_kappa)
    chance = 1.0
    for counts, pulls in ((weld.bond_counts, True), (weld.heat_counts, False)):
        if not any(counts):
            continue
        chances = outcome_chances(belief, x, strips=sum(counts), pulls=pulls)
        seen = chances[counts] * (1 + 1e-9)
        chance = min(chance, sum(each for each in chances.values() if each <= seen))
    return chance


def doubts(
    belief: Belief, welds: Sequence[TestWeld], odd: Sequence[str], *, max_air: float
) -> tuple[Caution, ...]:
    """Everything about the strips that the crew should look at again, most urgent first.

    Parameters
    ----------
    belief : Belief
        After ``welds``.
    welds : sequence of TestWeld
        With the settings asked for and the air temperature reached.
    odd : sequence of str
        From :func:`odd_welds`.
    max_air : float
        Hottest air the machine reaches as it stands. [K]

    Returns
    -------
    tuple of Caution
    """
    found: list[Caution] = []

    def name(code: str, numbers: Sequence[str]) -> None:
        if numbers:
            found.append(Caution(code, {"welds": ", ".join(numbers)}))

    def with_pull(grade: str) -> list[str]:
        return [weld.number for weld in welds if any(s.pull == grade for s in weld.strips)]

    name("odd_welds", odd)
    short = [
        weld.number
        for weld in welds
        if weld.air > max_air + _DIAL or weld.true_air < weld.air - _MUCH_BELOW
    ]
    name("air_not_reached", short)
    name("air_very_low", [weld.number for weld in welds if weld.air < _COOLEST_LIKELY])
    name("heat_not_looked", [weld.number for weld in welds if not any(weld.heat_counts)])
    name("strip_split", with_pull("split"))
    name("strip_break", with_pull("break"))
    name("strip_skin", with_pull("skin"))
    if belief.earlier_weight is not None and belief.earlier_weight < EARLIER_FITS:
        found.append(Caution("earlier_does_not_fit", {"p": belief.earlier_weight}))
    if max(belief.weld_share) > MOSTLY_WELD and len(welds) > 1:
        found.append(Caution("welds_differ"))
    return tuple(found)
