"""What was struck together: strokes a few milliseconds apart, each on another drum or cymbal."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from itertools import pairwise

#: Two drums struck within this many ms are struck together. Listeners notice one instrument of a
#: groove early or late from about 20 to 25 ms on. In human fills hands meet on two drums within
#: 25 ms, or they come more than 50 apart; between the two lies hardly a stroke.
TOGETHER = 25.0
#: A foot under the hands is wider of them: up to this it may still be meant for the same place.
FOOT_UNDER = 45.0


def moments(
    times: Sequence[float], drums: Sequence[Hashable], within: float = TOGETHER
) -> list[range]:
    """The strokes, by their place in ``times``, that sound together: none twice on one drum.

    ``times`` in order. Nearest strokes find each other first, and no moment lasts longer than
    ``within``.
    """
    starts = {place: place for place in range(len(times))}  # of the moment that ends there
    ends = dict(starts)  # of the moment that starts there
    gaps = sorted((then - now, place) for place, (now, then) in enumerate(pairwise(times)))
    for gap, place in gaps:
        if gap > within:
            break
        first, last = starts[place], ends[place + 1]
        struck = drums[first : last + 1]
        if times[last] - times[first] <= within and len(set(struck)) == len(struck):
            starts[last], ends[first] = first, last
    found, at = list[range](), 0
    while at < len(times):
        found.append(range(at, ends[at] + 1))
        at = ends[at] + 1
    return found
