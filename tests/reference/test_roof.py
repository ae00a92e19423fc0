"""Hand-worked roofs: what rectangle, L and hole take, with the arithmetic beside each figure."""

from __future__ import annotations

import pytest
from shapely.geometry import box

from lapwright.roof.conflicts import Conflict
from lapwright.roof.layout import Layout
from lapwright.roof.outline import Opening, Outline, outline, ring
from lapwright.roof.plan import AreaPlan, plan_area
from lapwright.roof.quantities import add_up

FOOT = 0.3048  # m; exact
EXACT = 1e-9  # relative

# Check roof of the design notes: 290 x 431 ft, 10 ft sheets, 100 ft rolls, 6 in laps, 3 half
# sheets along both long sides. Sizes from a published comparison of sheet widths (Taylor,
# Benefits of 12-foot TPO, 2017); the counts are worked by hand there:
# - width: 28 x 10 + 6 x 5 = 310 ft of sheet, less 33 laps of 6 in, covers 293.5 ft >= 290 ft;
#   27 full rows would cover 284 ft. 34 rows, 33 side laps of 431 ft = 14,223 ft.
# - length: 4 sheets cover 398.5 ft, 5 cover 498 ft >= 431 ft: 4 end laps a row, 136 in all.
# - 272 ends of end laps; the 4 of the first row and the 4 of the last run out at the edge, so
#   264 T-joints lie on side laps. The notes count all 272.
# - end laps: 4 x 310 ft = 1,240 ft before the last row is trimmed by 3.5 ft: 4 x 306.5 = 1,226.


@pytest.fixture(scope="module")
def check_roof() -> AreaPlan:
    """Planned once."""
    roof = outline("A", ring(_feet(431, 290), name="A"))
    return plan_area(roof, _layout(half_rows=3))


def _feet(*sides: float) -> list[tuple[float, float]]:
    x, y = (side * FOOT for side in sides)
    return [(0, 0), (x, 0), (x, y), (0, y)]


def _layout(width: float = 10.0, lap: float = 0.5, **said: float) -> Layout:
    return Layout(
        width=width * FOOT, roll=100 * FOOT, lap=lap * FOOT, end_lap=0.5 * FOOT, **said  # type: ignore[arg-type]
    )  # fmt: skip


def test_check_roof_comes_out_as_worked_by_hand(check_roof: AreaPlan) -> None:
    """34 rows, 33 side laps of 14,223 ft, 136 end laps, 272 ends of them."""
    found = add_up(check_roof)
    assert check_roof.sheets[-1].row == 34
    assert len({sheet.row for sheet in check_roof.sheets if sheet.is_half}) == 6
    assert found.side_laps == 33
    assert found.side_length / FOOT == pytest.approx(14_223, rel=EXACT)
    assert found.end_laps == 136
    assert found.end_length / FOOT == pytest.approx(1_226, rel=EXACT)
    ends_at_edge = [joint for joint in check_roof.t_joints if joint.seams[1].startswith("A-E")]
    assert found.t_joints == 264
    assert len(ends_at_edge) == 272


def test_check_roof_adds_up_to_its_outline(check_roof: AreaPlan) -> None:
    """Sheets less laps are 290 x 431 = 124,990 sq ft, far within the 0.1 % asked for."""
    found = add_up(check_roof)
    covered = (found.sheet_area - found.lap_area) / FOOT**2
    assert covered == pytest.approx(124_990, rel=EXACT)
    assert abs(found.closure) < EXACT


# Feet per 100 sq ft of large roof, design notes: side lap 100 / (width - lap); end lap
# 100 / 99.5 x width / (width - lap) on 100 ft rolls; two T-joints for every end lap.
@pytest.mark.parametrize(
    ("width", "side", "end", "t_joints"),
    [(5, 22.2, 1.12, 4.5), (6, 18.2, 1.10, 3.7), (10, 10.5, 1.06, 2.1), (12, 8.7, 1.05, 1.7)],
)
def test_large_roof_has_the_feet_per_square_of_the_notes(
    width: float, side: float, end: float, t_joints: float
) -> None:
    """A roof that rolls fit exactly shows the rule, once what its edges lack is added.

    Of n rows n - 1 have a lap above, of n sheets n - 1 an end lap; the notes round to two figures.
    """
    rows, sheets = 60, 40
    edge = ring(_feet(sheets * 99.5 + 0.5, rows * (width - 0.5) + 0.5), name="A")
    found = add_up(plan_area(outline("A", edge), _layout(width, stagger=0.0)))
    squares = found.roof_area / FOOT**2 / 100
    more_rows, more_sheets = rows / (rows - 1), sheets / (sheets - 1)
    assert found.side_length * more_rows / FOOT / squares == pytest.approx(side, rel=0.01)
    assert found.end_length * more_sheets / FOOT / squares == pytest.approx(end, rel=0.01)
    joints = found.t_joints * more_rows * more_sheets
    assert joints / squares * 10 == pytest.approx(t_joints, rel=0.03)


# L of 60 x 40 ft with the upper right 20 x 20 ft missing; 10 ft sheets, lap 6 in, rows along the
# 60 ft edge. Rows begin at 0, 9.5, 19, 28.5, 38 ft. Laps lie at 9.5-10 and 19-19.5 ft (60 ft
# long) and at 28.5-29 and 38-38.5 ft (40 ft long): 200 ft. No end lap: a roll is longer.


def test_l_roof_by_hand() -> None:
    """Two laps of 60 ft and two of 40 ft; 2,000 sq ft; the edge is 200 ft with 6 corners."""
    corners = [(0, 0), (60, 0), (60, 20), (40, 20), (40, 40), (0, 40)]
    edge = ring([(x * FOOT, y * FOOT) for x, y in corners], name="A")
    plan = plan_area(outline("A", edge), _layout())
    lengths = [round(seam.length / FOOT, 6) for seam in plan.seams]
    found = add_up(plan)
    assert lengths == [60, 60, 40, 40]
    assert found.roof_area / FOOT**2 == pytest.approx(2_000)
    assert (found.corners, found.edge_length / FOOT) == (6, pytest.approx(200))
    assert abs(found.closure) < EXACT


# Rectangle 60 x 28.5 ft (rows at 0, 9.5 and 19 ft) with a curb 10 x 4 ft from (20, 8) to
# (30, 12): the lap at 9.5-10 ft stops at the curb and starts again behind it, the lap at 19 ft
# runs through. 60 + 50 ft; by hand 28 ft and 4 corners of 1 ft.


def _with_curb() -> Outline:
    curb = Opening("curb", box(20 * FOOT, 8 * FOOT, 30 * FOOT, 12 * FOOT), "unit", FOOT)
    return outline("A", ring(_feet(60, 28.5), name="A"), openings=[curb])


def test_hole_by_hand() -> None:
    """A curb takes 10 ft out of one lap; stations behind it keep counting from the origin."""
    plan = plan_area(_with_curb(), _layout())
    broken, whole = plan.seams
    spans = [(round(s.start / FOOT, 6), round(s.end / FOOT, 6)) for s in broken.spans]
    assert spans == [(0, 20), (30, 60)]
    assert whole.length / FOOT == pytest.approx(60)
    detail = plan.details[1]
    assert (detail.id, detail.corners) == ("A-D002", 4)
    assert detail.length / FOOT == pytest.approx(28 + 4)
    assert abs(add_up(plan).closure) < EXACT


def test_lap_into_a_curb_is_a_conflict_of_two_feet() -> None:
    """With 12 in clear, the lap dies 1 ft before and after the curb: 2 ft too near."""
    plan = plan_area(_with_curb(), _layout())
    near: list[Conflict] = [each for each in plan.conflicts if each.code == "seam_near"]
    assert [each.seam for each in near] == ["A-S001"]
    # The reach is 12 in from the lap's edge, so 15 in from its middle, on both sides.
    assert near[0].length / FOOT == pytest.approx(2 * 1.25, rel=1e-3)
