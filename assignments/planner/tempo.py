"""At which tempo a piece is played next: it climbs when it comes out clean, and falls when not."""

from itertools import groupby

from fsrs import Rating

from assignments.planner.due import rating_of
from assignments.planner.history import Piece, Record, Sitting

SLOWEST = 30
#: A new piece begins at this part of its goal; warming up is no faster.
BEGIN = 0.7
#: One step up, one step down. Practice that is mostly right is what stays (Duke et al. 2009).
UP, DOWN = 1.05, 0.9

_STEPS = {Rating.Again: DOWN, Rating.Hard: 1.0, Rating.Good: UP}


def begin_tempo(piece: Piece) -> int:
    """Return the tempo of a first day, and of loosening up."""
    return within(piece, BEGIN * piece.highest)


def next_tempo(record: Record) -> int:
    """Return the tempo at which a piece is to be played; a mastered one at its goal.

    What was played in a simpler form says nothing of it.
    """
    piece = record.piece
    if record.is_mastered:
        return piece.highest
    tempo = begin_tempo(piece)
    own = [sitting for sitting in record.sittings if not sitting.easier]
    for _, sittings in groupby(own, key=lambda sitting: sitting.day):
        tempo = _after(piece, tempo, list(sittings))
    return tempo


def _after(piece: Piece, tempo: int, sittings: list[Sitting]) -> int:
    """One step a day, by all of its sittings, from the highest tempo that was played.

    A day on which it was played no faster than on the first was spent loosening up with it.
    """
    played = max((sitting.tempo for sitting in sittings if sitting.tempo), default=tempo)
    if played <= begin_tempo(piece) < tempo:
        return tempo
    factor = _STEPS[rating_of(sittings)]
    if factor > 1:
        return within(piece, max(played * factor, played + 1))
    return within(piece, played * factor)


def within(piece: Piece, tempo: float) -> int:
    """The nearest whole tempo that the piece is practised at."""
    return round(max(SLOWEST, min(tempo, piece.highest)))
