"""How alike strokes are by all that they strike, where several limbs strike at one onset.

What is struck has a number: a surface alone its place among the surfaces, several together a
number of their own, given when they are first met. Hands are looked at elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import count, permutations

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Hit, Stroke
from rhythms.engine.kits.kit_layout import distance
from rhythms.engine.kits.surfaces import FEET, Surface, base, family

#: Two surfaces of one family; and what nearness on the kit adds at most.
SAME_FAMILY, NEARNESS = 0.5, 0.1
#: One drum or cymbal struck in two ways, as the open hi-hat and the closed one.
SAME_BASE = 0.85
#: Centimetres over which nearness falls to about a third.
NEAR = 40.0
#: What is left where the touch of a second limb differs.
OTHER_TOUCH = 0.8
#: What a foot beside the hands counts, a hand counting 1.
FOOT = 0.5

SURFACES = tuple(Surface)
Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Struck = tuple[Hit, ...]

_struck: dict[int, Struck] = {number: (Hit(surface),) for number, surface in enumerate(SURFACES)}
_number: dict[Struck, int] = {}
_next_number = count(len(SURFACES))


def surface_likeness(a: Surface, b: Surface) -> float:
    """1 for the same surface, otherwise by what is struck, family and distance."""
    if a == b:
        return 1.0
    if base(a) == base(b):
        return SAME_BASE
    near = NEARNESS * float(np.exp(-distance(a, b) / NEAR))
    return near + (SAME_FAMILY if family(a) == family(b) else 0.0)


def struck_number(stroke: Stroke) -> int:
    """The number of what a stroke strikes: below ``len(SURFACES)`` where it strikes one surface."""
    if not stroke.beside:
        return SURFACES.index(stroke.surface)
    # The first one's touch is looked at with its hand.
    struck = (Hit(stroke.surface), *(hit._replace(limb=None) for hit in stroke.beside))
    if struck not in _number:
        number = next(_next_number)
        # Threads may number one twice: what it is stands there before its number is known.
        _struck[number] = struck
        _number.setdefault(struck, number)
    return _number[struck]


def surfaces_struck(number: int) -> tuple[Surface, ...]:
    """All that is struck."""
    return tuple(hit.surface for hit in _struck[number])


def corrections(numbers: Sequence[int], others: Sequence[int]) -> Floats:
    """What the likeness of first surfaces is multiplied by, for it to be that of all: a table."""
    return np.array([[_correction(*sorted((a, b))) for b in others] for a in numbers])


@lru_cache(maxsize=65536)
def _correction(a: int, b: int) -> float:
    first, second = (_struck[number][0].surface for number in (a, b))
    return together_likeness(a, b) / surface_likeness(first, second)


def together_likeness(a: int, b: int) -> float:
    """The share of what two strokes strike that is struck by both, surfaces as alike as they are:
    in [0, 1], symmetric, 1 for the same; `surface_likeness` where each strikes one surface.
    """
    fewer, more = sorted((_struck[a], _struck[b]), key=len)
    shared = max(
        sum(_pair(hit, other) for hit, other in zip(fewer, some, strict=True))
        for some in permutations(more, len(fewer))
    )
    return 2 * shared / (sum(map(_weight, fewer)) + sum(map(_weight, more)))


def _pair(a: Hit, b: Hit) -> float:
    alike = (_weight(a) + _weight(b)) / 2 * surface_likeness(a.surface, b.surface)
    return alike if a.dynamic == b.dynamic else alike * OTHER_TOUCH


def _weight(hit: Hit) -> float:
    return FOOT if hit.surface in FEET else 1.0
