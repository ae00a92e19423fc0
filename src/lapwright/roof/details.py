"""Details that are welded by hand: edges, curbs, walls, pipes and drains, each with its number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import Polygon

from lapwright.roof.layout import Frame
from lapwright.roof.outline import CUT_OUT, Opening, OpeningKind, Outline
from lapwright.roof.station import detail_id

BOOT_REACH = 0.1  # m; how far the foot of a pipe boot reaches beyond the pipe; our choice
TARGET = 0.9144  # m; 36 x 36 in target patch under a drain, a contractor's specification

_TURN = np.radians(20.0)  # a corner turns by more; our choice

DetailKind = Literal["edge"] | OpeningKind


@dataclass(frozen=True)
class Detail:
    """One detail.

    Parameters
    ----------
    id : str
        ``A-D045``.
    kind : {"edge", "curb", "wall", "pipe", "drain"}
        What it is.
    shape : Polygon
        Where it stands; stations run counter-clockwise along its edge. [m]
    length : float
        Feet that are welded by hand; 0 for an edge, whose flashing is counted apart. [m]
    corners : int
        Corners to be made.
    name : str
        As the drawing calls it.
    """

    id: str
    kind: DetailKind
    shape: Polygon
    length: float
    corners: int
    name: str = ""

    @property
    def is_cut(self) -> bool:
        """Do sheets end at it."""
        return self.kind == "edge" or self.kind in CUT_OUT


def number_details(
    outline: Outline, *, to_run: Frame, drains_with_patch: Sequence[bool]
) -> list[Detail]:
    """The edge first, then openings in the order that rows reach them.

    Parameters
    ----------
    outline : Outline
        Edge and openings.
    to_run : callable
        Into the frame of the run.
    drains_with_patch : sequence of bool
        For every opening: does a lap pass so near that a drain needs a target patch.
    """
    edge = Detail(
        detail_id(outline.area, 1), "edge", outline.edge, 0.0, corner_count(outline.edge),
        outline.level,
    )  # fmt: skip
    shapes = [to_run(each.shape).bounds for each in outline.openings]
    order = sorted(range(len(shapes)), key=lambda n: (round(shapes[n][1], 3), shapes[n][0]))
    return [
        edge,
        *(
            _detail(
                detail_id(outline.area, number),
                outline.openings[place],
                has_patch=drains_with_patch[place],
            )
            for number, place in enumerate(order, start=2)
        ),
    ]


def _detail(name: str, opening: Opening, *, has_patch: bool) -> Detail:
    shape = opening.shape
    corners = corner_count(shape) if opening.kind in CUT_OUT else 0
    if opening.kind in CUT_OUT:
        length = shape.length + corners * opening.height
    elif opening.kind == "pipe":
        length = shape.buffer(BOOT_REACH).length
    else:
        length = 4 * TARGET if has_patch else 0.0
    return Detail(name, opening.kind, shape, length, corners, opening.name)


def corner_count(shape: Polygon) -> int:
    """Corners of a shape that turn by more than 20 degrees; a round curb has none.

    Examples
    --------
    >>> corner_count(shapely.box(0, 0, 3, 1)), corner_count(shapely.Point(0, 0).buffer(1))
    (4, 0)
    """
    sides = np.diff(shapely.get_coordinates(shape.exterior), axis=0)
    headings = np.arctan2(sides[:, 1], sides[:, 0])
    turns = np.angle(np.exp(1j * (np.roll(headings, -1) - headings)))
    return int(np.count_nonzero(np.abs(turns) > _TURN))
