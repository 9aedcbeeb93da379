"""Groove and fill separated, bar by bar and beat by beat.

A groove comes back: most of its bars are alike, and one surface keeps time through them. Where
none does, as under a train beat on the snare, a bar is groove that is left and taken up again. What
breaks off from it is a fill.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from rhythms.engine.bars.meter import Meter
from rhythms.engine.kits.surfaces import FAMILIES, FEET, Surface, base
from rhythms.engine.takes.stroke_reading import PlacedHit

#: Bars at least this alike are the same groove where something keeps time; where nothing does,
#: bars are the same that are as alike as beats must be for a groove that goes on into a bar.
SAME_GROOVE, SAME_BEAT = 0.6, 0.7
TIMEKEEPERS = (
    Surface.HI_HAT,
    Surface.RIDE,
    Surface.RIDE_BELL,
    Surface.CRASH,
    Surface.COWBELL,
    Surface.HI_HAT_FOOT,
)
_TOMS = FAMILIES["toms"]
#: As many strokes as make a fill; fewer are a landing or a slip.
FEWEST = 3
#: The groove is sought among so many different bars, those that come most often.
MOST_MODELS = 300
Cell = tuple[Fraction, Surface]


@dataclass(frozen=True)
class Split:
    """Bars by number: those of groove, and for each bar with a fill the strokes of the fill."""

    groove: tuple[int, ...]
    fills: Mapping[int, tuple[PlacedHit, ...]] = field(default_factory=dict)


def split(placed: Sequence[PlacedHit], meter: Meter) -> Split:
    """Which bars keep time, and what is played in the others once it leaves the groove.

    Without a groove every bar with strokes enough is a fill.
    """
    bars: dict[int, list[PlacedHit]] = {}
    for each in placed:
        bars.setdefault(each.bar, []).append(each)
    cells = {
        bar: frozenset((each.onset, base(each.hit.surface)) for each in bars[bar]) for bar in bars
    }
    model, alike = _model(cells, meter)
    groove = tuple(
        bar
        for bar in sorted(bars)
        if model and (same(cells[bar], model) >= alike or _keeps_time(cells[bar], meter))
    )
    fills: dict[int, tuple[PlacedHit, ...]] = {}
    keeping = frozenset(groove)
    for bar in sorted(bars):
        left = bars[bar] if bar not in keeping else []
        if model and left:
            leaves = _leaves_at(cells[bar], model, meter)
            left = [each for each in left if each.onset >= leaves]
        if len({each.onset for each in left if each.hit.surface not in FEET}) >= FEWEST:
            fills[bar] = tuple(left)
    return Split(groove, fills)


def same(a: frozenset[Cell], b: frozenset[Cell]) -> float:
    """The share of strokes that two bars have in common, from 0 to 1."""
    return 2 * len(a & b) / (len(a) + len(b)) if a or b else 1.0


def _model(cells: Mapping[int, frozenset[Cell]], meter: Meter) -> tuple[frozenset[Cell], float]:
    """The bar of the groove that most others are like, and how much those of groove are.

    Empty where nothing keeps time and nothing comes back.
    """
    model = _most_alike(cells[bar] for bar in sorted(cells) if _keeps_time(cells[bar], meter))
    if model:
        return model, SAME_GROOVE
    model = _most_alike(cells[bar] for bar in sorted(cells))
    return (model if _comes_back(model, cells) else frozenset()), SAME_BEAT


def _most_alike(bars: Iterable[frozenset[Cell]]) -> frozenset[Cell]:
    often = Counter(bars)
    commonest = {model for model, _ in often.most_common(MOST_MODELS)}
    models = [model for model in often if model in commonest]
    likes = [sum(often[other] * same(model, other) for other in models) for model in models]
    return models[likes.index(max(likes))] if models else frozenset()


def _comes_back(model: frozenset[Cell], cells: Mapping[int, frozenset[Cell]]) -> bool:
    """Whether more than half of the bars are like it, and it goes on for bars more than once.

    A fill that is played again and again, alone, is not left in between.
    """
    alike = [bar for bar in sorted(cells) if same(cells[bar], model) >= SAME_BEAT]
    going_on = [bar for bar, after in pairwise(alike) if after == bar + 1]
    runs = sum(bar - 1 not in going_on for bar in going_on)
    return 2 * len(alike) > len(cells) and runs > 1


def _keeps_time(cells: frozenset[Cell], meter: Meter) -> bool:
    """One timekeeper on three of four beats or more, open or closed, and hardly a tom."""
    beats = {beat.onset for beat in meter.beats}
    struck = {(onset, base(surface)) for onset, surface in cells}
    on_beats = {
        surface: sum((onset, surface) in struck for onset in beats) for surface in TIMEKEEPERS
    }
    toms = sum(surface in _TOMS for _, surface in cells)
    return max(on_beats.values()) >= 0.75 * len(beats) and toms <= 1


def _leaves_at(cells: frozenset[Cell], model: frozenset[Cell], meter: Meter) -> Fraction:
    """The beat at which a bar leaves the groove, in quarters."""
    for beat in meter.beats:
        here = frozenset(cell for cell in cells if beat.onset <= cell[0] < beat.end)
        there = frozenset(cell for cell in model if beat.onset <= cell[0] < beat.end)
        landing = frozenset(cell for cell in here if cell[1] is not Surface.CRASH)
        if max(same(here, there), same(landing, there)) < SAME_BEAT:
            return beat.onset
    return Fraction(0)
