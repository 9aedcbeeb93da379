"""How long a limb needs from one stroke to the next.

A move between surfaces follows Fitts' law in Shannon's form, a + b log2(D/W + 1)
(MacKenzie 1992), with D the distance between centres and W the width of the target. The slope
is that of Fitts' reciprocal tapping at its quickest (Fitts 1954, from memory: 10 to 12.6 bits a
second); the intercept and the floor come from the limits below.
"""

from __future__ import annotations

from functools import cache
from math import log2

from rhythms.engine.kits.kit_layout import PLACES, distance
from rhythms.engine.kits.surfaces import Surface, base

#: Seconds a bit of difficulty, after Fitts 1954 (from memory).
FITTS_SLOPE = 0.08
#: Seconds of a move without difficulty; so that most drums are within 0.15 s of the snare.
FITTS_INTERCEPT = 0.03
#: No move between surfaces is faster; a proposal for generated fills, not a measurement.
MOVE_FLOOR = 0.110
#: Two strokes of one hand on one surface, the second from the rebound; a proposal likewise.
REBOUND = 0.075
#: One hand on and on: 7 strokes a second, the upper end of ordinary one-hand tapping
#: (5 to 7 a second; the fastest drummer measured reached 10: Fujii et al. 2009).
SUSTAINED = 1 / 7
#: A foot on and on: common practice puts it near the hands' sustained rate. Three strokes of a bass
#: drum in fills of drummers are hardly ever closer (1 of 388; Groove MIDI Dataset, Gillick et al.
#: 2019).
FOOT_AGAIN = 1 / 7
#: Two strokes of a foot, heel and toe or a slide: 16ths at 150. Of 612 such pairs in the same fills
#: 3 in 100 are closer, and 9 in 100 are closer than on and on.
FOOT_PAIR = 0.1
#: More for a hand that has to pass the other; common practice, no source.
CROSSING = 0.05
#: A grace note sounds this long before its main stroke; common practice for a closed flam.
GRACE = 0.03


@cache
def move_time(origin: Surface, target: Surface) -> float:
    """Seconds one hand needs from a stroke on ``origin`` to a stroke on ``target``."""
    if base(origin) == base(target):
        return REBOUND
    difficulty = log2(distance(origin, target) / PLACES[target].width + 1)
    return max(MOVE_FLOOR, FITTS_INTERCEPT + FITTS_SLOPE * difficulty)
