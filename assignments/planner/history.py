"""What a plan is made from: the fills on a student's stand, and how they were practised."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from rhythms.engine import Fill

_MINUTE = 60


@dataclass(frozen=True)
class Piece:
    """A fill as it was given, and how it stood when the day began.

    `goal` is the tempo asked for and `top` the highest at which every move fits, in quarters a
    minute; `block_bars` counts groove and fill together; `mastered_on` is the day since when it
    is mastered, None where it is not. `keeps_rules` says whether another fill of its bar keeps the
    rules it was drawn under; without it there are none.
    """

    id: int
    fill: Fill = field(compare=False)
    block_bars: int
    goal: int
    given_on: date
    top: int | None = None
    mastered_on: date | None = None
    keeps_rules: Callable[[Fill], bool] | None = field(default=None, compare=False)

    @property
    def highest(self) -> int:
        """The tempo that practice climbs to."""
        return min(self.goal, self.top or self.goal)

    def block_seconds(self, tempo: int) -> Fraction:
        """How long one block lasts: bars x beats x 60 / tempo."""
        return self.block_bars * self.fill.bar.meter.length * _MINUTE / tempo


@dataclass(frozen=True)
class Sitting:
    """One entry of the log that is about a piece; ``easier``: it was played in a simpler form."""

    piece: int
    day: date
    tempo: int | None = None
    loops: int | None = None
    clean_loops: int | None = None
    felt: str = ""
    recheck: bool = False
    easier: bool = False


@dataclass(frozen=True)
class Record:
    """A piece and all its sittings before the day, in the order of days."""

    piece: Piece
    sittings: tuple[Sitting, ...] = ()
    begun_today: bool = False

    @property
    def begun_on(self) -> date | None:
        """The first day on which it was played."""
        return self.sittings[0].day if self.sittings else None

    @property
    def last_played(self) -> date:
        """The last day on which it was played; where it never was, the day it was given."""
        return self.sittings[-1].day if self.sittings else self.piece.given_on

    @property
    def is_mastered(self) -> bool:
        """Whether it was mastered when the day began."""
        return self.piece.mastered_on is not None


def records(pieces: Sequence[Piece], sittings: Iterable[Sitting], day: date) -> list[Record]:
    """Return a record of each piece that was given by that day, in the order of the pieces.

    What was played on the day itself changes nothing but what was begun then, so that the plan
    of a day stays as it is while it is played.
    """
    before: dict[int, list[Sitting]] = {}
    today: set[int] = set()
    for sitting in sorted(sittings, key=lambda sitting: sitting.day):
        if sitting.day < day:
            before.setdefault(sitting.piece, []).append(sitting)
        elif sitting.day == day:
            today.add(sitting.piece)
    return [
        Record(
            piece,
            tuple(before.get(piece.id, ())),
            begun_today=piece.id in today and piece.id not in before,
        )
        for piece in pieces
        if piece.given_on <= day
    ]
