"""Where bare scrim ends along the strip, to a fraction of a thread.

Beyond the band lies film, of one brightness that changes slowly. The band ends at the place
that best parts places bright as that film leads to expect from places that are not.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lapwright.job.band import Row, Run
from lapwright.readings.photo.card import vision
from lapwright.readings.photo.picture import Grey, Mask
from lapwright.readings.photo.strip import DENSITY, FlatStrip

STEP = 0.001  # m between two places across the strip where the band is measured
_ACROSS = 0.0005  # m, standard deviation over which brightness is judged
_ALONG = 0.0001  # m
_FILM = (0.010, 0.0025)  # m beyond the band: from where to where film is looked at
_LEAST_FILM = 0.003  # m
_INSIDE = (0.0005, 0.004)  # m within the band
_MAY_MOVE = 0.0016  # m, from where the threads were seen to end
_FILM_SHARE = 0.35  # the level between film and scrim lies this near to film, as logarithms
_SEEN_EARLY = 0.0002  # m, that scrim is seen before it begins; from rendered photos
_TOLD_APART = 4.0  # how many times stronger, in square, scrim must leave the film's brightness

Values = np.ndarray[Any, np.dtype[np.float64]]


def rows_of(strip: FlatStrip, scrim: Mask) -> tuple[Row, ...]:
    """Bare scrim at every :data:`STEP` across the strip, its ends as fine as they show."""
    places = np.arange(STEP / 2, strip.width - STEP / 2, STEP)
    coarse = [_runs(scrim, place) for place in places]
    brightness = _Brightness(strip, places)
    fine: list[list[list[float]]] = [[list(run) for run in runs] for runs in coarse]
    for side in (0, 1):
        starts = [(n, k) for n, runs in enumerate(coarse) for k in range(len(runs))]
        looks = {at: brightness.look(at[0], coarse[at[0]], at[1], side) for at in starts}
        seen = {at: look for at, look in looks.items() if look is not None}
        if not seen:
            continue
        inside = float(np.median([look.inside for look in seen.values()]))
        for (n, k), look in seen.items():
            fine[n][k][side] = look.end(inside)
    return tuple(
        Row(float(place), tuple(Run(*run) for run in runs))
        for place, runs in zip(places, fine, strict=True)
    )


def _runs(scrim: Mask, place: float) -> list[tuple[float, float]]:
    """Where scrim is bare at one place across. [m]"""
    row = scrim[int(place * DENSITY)].astype(np.int8)
    turns = np.flatnonzero(np.diff(row, prepend=0, append=0)) / DENSITY
    return [(float(start), float(end)) for start, end in turns.reshape(-1, 2)]


@dataclass(frozen=True)
class _Look:
    """One end of one run: how far brightness is from film, going out from within the band."""

    places: Values  # m along the strip, from outside inwards
    off: Values  # mean square from film
    film: float
    inside: float
    coarse: float

    def end(self, inside: float) -> float:
        """Where it leaves the film; where threads end when it does not tell. [m]"""
        if inside < _TOLD_APART * self.film:
            return self.coarse
        level = self.film**_FILM_SHARE * inside ** (1 - _FILM_SHARE)
        score = np.cumsum(np.where(self.off > level, -1, 1))  # greatest where film ends best
        inwards = np.sign(self.places[1] - self.places[0])
        return float(self.places[np.argmax(score)] + inwards * _SEEN_EARLY)


class _Brightness:
    """Mean and mean square of brightness (as a logarithm) around places across the strip."""

    def __init__(self, strip: FlatStrip, places: Values) -> None:
        cv2 = vision()
        grey = strip.colours.mean(axis=2, dtype=np.float32) / 255
        log = cv2.GaussianBlur(np.log(grey + 0.02), (0, 0), sigmaX=_ALONG * DENSITY, sigmaY=1)
        rows = (places * DENSITY).astype(int)

        def around(values: Grey) -> Any:
            return cv2.GaussianBlur(values, (0, 0), sigmaX=0.5, sigmaY=_ACROSS * DENSITY,
                                    borderType=cv2.BORDER_REFLECT)[rows].astype(float)  # fmt: skip

        self.mean, self.square = around(log), around(log * log)
        self.length = log.shape[1] / DENSITY

    def look(self, row: int, runs: list[tuple[float, float]], run: int, side: int) -> _Look | None:
        """One end of one run; None when too little film lies beyond it to compare with."""
        edge, way = runs[run][side], (-1 if side == 0 else 1)
        beyond = [
            start_end for other in runs for start_end in other if way * (start_end - edge) > 0
        ]
        free = min([way * (each - edge) for each in beyond] + [self._free(edge, way)])
        far = min(_FILM[0], free - 0.001)
        if far < _FILM[1] + _LEAST_FILM:
            return None
        film = self._between(edge + way * _FILM[1], edge + way * far)
        x = film / DENSITY
        slope, height = np.polyfit(x - edge, self.mean[row, film], 1)

        def off(places: Any) -> Values:
            expected = height + slope * (places / DENSITY - edge)
            found: Values = (
                self.square[row, places] - 2 * expected * self.mean[row, places] + expected**2
            )
            return found

        inner = self._between(edge - way * _INSIDE[1], edge - way * _INSIDE[0])
        near = self._between(edge - _MAY_MOVE, edge + _MAY_MOVE)[::-way]
        return _Look(
            near / DENSITY,
            off(near),
            float(np.median(off(film))),
            float(np.median(off(inner))),
            edge,
        )

    def _free(self, edge: float, way: int) -> float:
        return edge if way < 0 else self.length - edge

    def _between(self, one: float, other: float) -> Any:
        low, high = sorted((one, other))
        last = self.mean.shape[1]
        return np.arange(max(0, round(low * DENSITY)), min(last, round(high * DENSITY)))
