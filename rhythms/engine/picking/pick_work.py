"""How many fills picking looks at: fewer where each is dearer, so that any rule set is bounded.

Counted, not timed, as `rhythms.engine.space.work` counts: the same picks on every machine.
"""

from __future__ import annotations

import numpy as np

from rhythms.engine.fills.likeness import REACH, onsets_of
from rhythms.engine.prior.weighted_space import TRIED, WeightedSpace

#: What things cost, in units of about a nanosecond of one processor, measured once.
_CHOICE = 20  # a stroke weighed in a draw
_NOTE = 300  # a note of a fill appraised
_EDGE = 12  # a stroke of a state weighed anew for one player
_CALL = 20_000  # a handful of array operations, however small
_PAIR = 10  # two strokes compared
_TRY = 5_000  # a stroke tried with a hand, in Python
#: What each may cost: drawing some fills; comparing the pool; all draws that lean away from what
#: is known; finding out what is playable.
_DRAWING, _COMPARING, _LEANING, _LOOKING = 100_000_000, 100_000_000, 200_000_000, 200_000_000
#: So many fills each fill of the pool is compared with, about.
_COMPARED = 50
#: Weights of one note, for all ways to lean that are worked out together.
_AT_ONCE = 100_000
#: A pool is never smaller.
FEWEST = 16


class PickWork:
    """What is left of the bounds on picking from one space."""

    def __init__(self, weighted: WeightedSpace) -> None:
        layers = weighted.remembering.layers
        onsets = onsets_of(weighted.space.setting.bar)
        strokes = sum(len(layer.strokes) for layer in layers)
        self._fill = strokes * _CHOICE + len(onsets) * _NOTE + 1
        self._pair = int((np.abs(onsets[:, None] - onsets) < REACH).sum()) * _PAIR + 1
        players = len(weighted.prior.players)
        edges = sum(layer.after.size for layer in layers)
        self._graphs = players * (edges * _EDGE + len(layers) * _CALL)
        #: So many ways to lean are worked out together.
        most = max((layer.after.size for layer in layers), default=1)
        self.leanings_at_once = max(1, _AT_ONCE // (players * most))
        self._leaning, self._looking = _LEANING, _LOOKING

    def pool(self, wanted: int) -> int:
        """How many fills may be drawn of so many that are wanted."""
        drawn, compared = _DRAWING // (self._fill * TRIED), _COMPARING // (self._pair * _COMPARED)
        return min(wanted, max(FEWEST, min(drawn, compared)))

    def may_lean(self, wanted: int, away_from: int) -> bool:
        """Whether so many may be drawn leaning away from others; it is then spent."""
        self._leaning -= self._graphs + wanted * (self._fill + away_from * self._pair)
        return self._leaning >= 0

    @property
    def may_look(self) -> bool:
        """Whether one more fill may be tried with the hands."""
        return self._looking > 0

    def looked(self, tried: int) -> None:
        """Spend what so many strokes took that were tried."""
        self._looking -= tried * _TRY
