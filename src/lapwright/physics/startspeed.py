"""The trade's speed rule of thumb: a start before the first test weld, nothing more.

It is shown beside the model, never used as evidence and never as a set point.
"""

from __future__ import annotations

from lapwright.physics.heat import (
    REFERENCE_KAPPA,
    REFERENCE_SPEED,
    air_for,
    interface_temperature,
)

_RULE_AIR, _RULE_SHEET = 727.59, 299.82  # K; 850 F at 80 F, where rule and model are made to agree
_RULE_SLOPE = 0.0009144  # m/s per K; 1 ft/min per 10 F
_RULE_STANDSTILL = 439.67 / 1.8  # K; -20 F, where the rule reaches 0 ft/min


def common_speed_rule(ambient: float) -> float:
    """Start speed by the trade's rule of thumb: ambient in F over 10, plus 2, in ft/min.

    Parameters
    ----------
    ambient : float
        Air temperature on the roof. [K]

    Returns
    -------
    float
        Travel speed, never below zero. [m/s]

    Notes
    -----
    A start only, never a set point and never evidence. From 60 F down it runs hotter
    than the lap model, the more the colder: +16 to +31 K at the faces at 30 F.

    References
    ----------
    A membrane maker's technical bulletin on test welding, January 2021.

    Examples
    --------
    >>> round(common_speed_rule(299.8167) / 0.00508, 2)
    10.0
    """
    return max(0.0, _RULE_SLOPE * (ambient - _RULE_STANDSTILL))


def common_rule_excess(ambient: float) -> float:
    """Air temperature by which the common speed rule runs hotter than the lap model.

    Parameters
    ----------
    ambient : float
        Air temperature on the roof, taken as the sheet's. [K]

    Returns
    -------
    float
        How much cooler the air could be at the rule's speed and heat the lap as 850 F does
        at 80 F and 10 ft/min; below zero the rule runs colder. [K]

    Raises
    ------
    OutOfRange
        So cold that the rule gives no speed.

    References
    ----------
    :func:`common_speed_rule` against :func:`air_for`.

    Examples
    --------
    >>> round(1.8 * common_rule_excess(277.6))  # 40 F
    65
    """
    face = interface_temperature(
        _RULE_AIR, sheet=_RULE_SHEET, speed=REFERENCE_SPEED, kappa=REFERENCE_KAPPA
    )
    speed = common_speed_rule(ambient)
    return _RULE_AIR - float(air_for(face, sheet=ambient, speed=speed, kappa=REFERENCE_KAPPA))
