"""Readings around a test weld, settled: what counts of what was set, measured or left out."""

from __future__ import annotations

LIMITS = {  # as a question's; what lies beyond was mistyped
    "air": (300.0, 1000.0),  # K
    "speed": (0.0, 0.34),  # m/s
    "ambient": (213.0, 334.0),  # K
    "sheet": (213.0, 394.0),  # K
}


def settled(
    *,
    air: float | None,
    measured_air: float | None,
    speed: float | None,
    measured_speed: float | None,
    ambient: float | None,
    sheet: float | None,
) -> tuple[dict[str, float] | None, list[str]]:
    """Air, speed, ambient and sheet that count, or None; and the codes of what is in doubt.

    What was measured wins over what was set. [K, m/s]
    """
    speed = speed if measured_speed is None else measured_speed
    if speed is None or (air is None and measured_air is None):
        return None, ["weld_on_dial"]
    if ambient is None:
        return None, ["weld_without_conditions"]
    air = measured_air if air is None else air
    assert air is not None
    reading = {
        "air": air,
        "speed": speed,
        "ambient": ambient,
        "sheet": ambient if sheet is None else sheet,
    }
    for name, value in (*reading.items(), ("air", measured_air)):
        low, high = LIMITS[name]
        if value is not None and not low < value < high:
            return None, ["weld_mistyped"]
    if measured_air is not None:
        reading["measured_air"] = measured_air
    return reading, ["weld_sheet_as_air"] if sheet is None else []
