"""How often drummers strike several surfaces at once, where rules leave that open.

Counts of 306 fills of one drummer of the Groove MIDI Dataset (Google LLC, Gillick et al. 2019, CC
BY 4.0): of 2,878 strokes of the hands 19 % were of both on two surfaces, and 228 had the bass drum
beside them. Pairs that were hardly struck count as a few.
"""

from __future__ import annotations

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.prior.surface_groups import (
    CRASH,
    FLOOR,
    GROUP_OF,
    HI_HAT,
    HIGH,
    MID,
    RIDE,
    SNARE,
)

#: Of strokes of the hands, the share of both on two surfaces, and with a foot beside them.
BOTH_HANDS, A_FOOT = 0.19, 0.08
#: How often two groups of surfaces were struck at once; the rack toms pooled.
_PAIRS = {
    frozenset({SNARE, FLOOR}): 240,
    frozenset({HIGH, FLOOR}): 115,
    frozenset({MID, FLOOR}): 115,
    frozenset({SNARE, RIDE}): 52,
    frozenset({SNARE, HIGH}): 35,
    frozenset({SNARE, MID}): 35,
    frozenset({SNARE, HI_HAT}): 33,
    frozenset({HIGH, HI_HAT}): 32,
    frozenset({MID, HI_HAT}): 32,
    # Not told in the counts: drummers crash on the snare (common practice).
    frozenset({SNARE, CRASH}): 30,
}
_HARDLY = 10
_ALL = sum(_PAIRS.values())


def share_together(stroke: Stroke) -> float:
    """What a stroke weighs by how many limbs strike, one hand alone counting about 1."""
    if not stroke.beside:
        return 1.0
    share = A_FOOT ** len(stroke.foot_hits)
    if not stroke.both_hands:
        return share
    groups = frozenset(GROUP_OF[hit.surface] for hit in stroke.hand_hits)
    return share * BOTH_HANDS / (1 - BOTH_HANDS) * _PAIRS.get(groups, _HARDLY) / _ALL * len(_PAIRS)
