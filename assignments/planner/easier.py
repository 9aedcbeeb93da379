"""The simpler one of a piece that is stuck: fewer drums, half of it, or the same slower.

Fewer drums keeps the rhythm: each stroke goes to the nearest of the two drums, or the one, that the
fill strikes most, where its rules allow that. It is the same every day.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from assignments.planner.history import Piece, Record
from assignments.planner.stuck import stuck
from assignments.planner.tempo import DOWN, within
from rhythms.engine import EngineError, Fill, Surface
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.kit_layout import distance
from rhythms.engine.kits.surfaces import FEET, WAYS

FEWER_DRUMS, HALF, SLOWER = "fewer drums", "half of it", "slower"
#: What the student reads.
WORDS = {
    FEWER_DRUMS: "A simpler one first: the same rhythm with fewer drums",
    HALF: "A simpler one first: its second half alone",
    SLOWER: "A slower one first",
}
_LEFT = (2, 1)
#: Less of a fill is no half of it.
_FEWEST_STROKES = 2


@dataclass(frozen=True)
class Easier:
    """What is played instead: the ``fill``, at a ``tempo``; since when the piece is stuck, and at
    which tempo it ``stands``."""

    kind: str
    fill: Fill
    tempo: int
    since: date
    stands: int

    @property
    def words(self) -> str:
        """Why it is there, to the student."""
        return WORDS[self.kind]


def easier(record: Record, day: date) -> Easier | None:
    """Return the simpler one that a day's plan has for a piece; None where it is not stuck."""
    found = stuck(record, day)
    if found is None:
        return None
    kind, fill = _simpler(record.piece)
    tempo = within(record.piece, found.tempo * DOWN)
    return Easier(kind, fill, tempo, found.since, found.tempo)


def simpler_fills(fill: Fill) -> Iterator[Fill]:
    """All that there may be in place of a fill, whatever its rules say."""
    yield from _on_fewer_drums(fill)
    if half := _second_half(fill):
        yield half


def _simpler(piece: Piece) -> tuple[str, Fill]:
    fill = piece.fill
    for fewer in _on_fewer_drums(fill):
        if piece.keeps_rules is None or piece.keeps_rules(fewer):
            return FEWER_DRUMS, fewer
    half = _second_half(fill)
    return (HALF, half) if half else (SLOWER, fill)


def _on_fewer_drums(fill: Fill) -> Iterator[Fill]:
    """On the two drums that are struck most, then on one; each with less way between strokes."""
    struck = Counter(stroke.surface for stroke in fill.strokes if _may_move(stroke))
    by_use = sorted(struck, key=lambda surface: (-struck[surface], tuple(Surface).index(surface)))
    for left in _LEFT:
        if len(by_use) <= left:
            continue
        kept = by_use[:left]
        strokes = tuple(_nearest(stroke, kept) for stroke in fill.strokes)
        fewer = Fill(fill.bar, strokes, fill.ostinato)
        if _way(fewer) < _way(fill):
            yield fewer


def _may_move(stroke: Stroke) -> bool:
    """Whether one hand strikes alone, on a drum or cymbal as it is."""
    return not stroke.beside and stroke.surface not in FEET and stroke.surface not in WAYS


def _nearest(stroke: Stroke, kept: list[Surface]) -> Stroke:
    if not _may_move(stroke):
        return stroke
    surface = min(kept, key=lambda other: distance(stroke.surface, other))
    return stroke._replace(surface=surface)


def _way(fill: Fill) -> float:
    """Centimetres from stroke to stroke."""
    return sum(distance(a.surface, b.surface) for a, b in pairwise(fill.strokes))


def _second_half(fill: Fill) -> Fill | None:
    """Its last beats, groove going on before them; None of a phrase, a pick-up, or a short one."""
    bar = fill.bar
    if bar.groove_from or bar.open_from is not None or bar.meter.pickup or bar.meter.bars > 1:
        return None
    beats = len(bar.meter.beats) - len(bar.lead_in)
    if beats < len(_LEFT):
        return None
    try:
        half = bar.last_beats(beats // 2)
        strokes = fill.strokes[len(fill.strokes) - len(half.sounded) :]
        if not _FEWEST_STROKES <= len(strokes) < len(fill.strokes):
            return None
        return Fill(half, strokes, fill.ostinato)
    except EngineError:
        return None
