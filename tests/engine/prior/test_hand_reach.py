"""What the hands can come to in time, against asking stroke by stroke."""

from __future__ import annotations

from itertools import product

import pytest

from rhythms.engine import Stroke, Surface
from rhythms.engine.kits.move_time import move_time
from rhythms.engine.prior.hand_reach import in_reach

SURFACES = (Surface.SNARE, Surface.FLOOR_TOM, Surface.CRASH)
OPEN = tuple(Stroke(surface) for surface in SURFACES)
FIXED = tuple(Stroke(surface, hand) for surface in SURFACES for hand in "RL")
#: Strokes as they may come next: some surfaces twice, with another touch.
ACCENTED = (*FIXED, *(stroke._replace(dynamic="accent") for stroke in FIXED[:3]))


def comes(origin: Stroke, target: Stroke, seconds: float) -> bool:
    """Whether one hand may play both in that time."""
    one = None in (origin.limb, target.limb) or origin.limb == target.limb
    return one and move_time(origin.surface, target.surface) <= seconds


def apart(a: Stroke, b: Stroke) -> bool:
    return None in (a.limb, b.limb) or a.limb != b.limb


def plainly(before: Stroke | None, last: Stroke, now: Stroke, gaps: tuple[float, ...]) -> bool:
    if comes(last, now, gaps[-1]):
        return True
    if before is None or len(gaps) == 1:
        return apart(last, now)
    in_turn = apart(before, last) and comes(before, now, gaps[0] + gaps[1])
    return apart(last, now) and (in_turn or comes(before, last, gaps[0]))


@pytest.mark.parametrize(
    ("struck", "now"), [(OPEN, OPEN), (FIXED, ACCENTED)], ids=["open", "fixed"]
)
@pytest.mark.parametrize(
    "gaps", [(0.1,), (0.2,), (0.08, 0.08), (0.05, 0.2), (0.2, 0.05), (1.0, 1.0)]
)
def test_what_is_in_reach_is_what_stroke_by_stroke_would_be(struck, now, gaps):
    mask = in_reach(struck, now, gaps)
    for (b, before), (at, last), (n, stroke) in product(
        enumerate((None, *struck)), enumerate(struck, start=1), enumerate(now)
    ):
        assert mask[b, at, n] == plainly(before, last, stroke, gaps)


def test_where_nothing_was_struck_everything_is_in_reach():
    assert in_reach(FIXED, ACCENTED, (0.01, 0.01))[:, 0].all()
