"""Which pieces a day's plan is made of."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from assignments.planner.due import practice_due, recheck_due
from assignments.planner.history import Record
from assignments.planner.tempo import next_tempo
from rhythms.engine.fills.likeness import likeness

#: So many pieces are in work at a time before the next new one is begun.
IN_WORK = 3
#: Known pieces that take turns with the new one.
KNOWN = 2
#: From this likeness on, two fills are too close to be begun one right after the other: a
#: similar one learnt on the same evening undoes what was gained (sources in `__init__`).
TOO_ALIKE = 0.85
#: One re-check in so many minutes.
MINUTES_A_CHECK = 5

_DAY = timedelta(days=1)


@dataclass(frozen=True)
class PieceSelection:
    """`focus` gets the most time (`is_new` on its first day); `known` take turns with it."""

    focus: Record | None
    is_new: bool
    checks: Sequence[Record]
    known: Sequence[Record]
    warm_up: Record | None


def select_pieces(records: Sequence[Record], day: date, minutes: int) -> PieceSelection:
    """Return what to play on the day, out of records in the order in which they were given."""
    open_ones = [record for record in records if record.sittings and not record.is_mastered]
    mastered = [record for record in records if record.is_mastered]
    new = _new_one(records, open_ones, day)
    by_need = sorted(open_ones, key=_need)
    focus = new or next(iter(by_need), None)
    checks = _checks(mastered, day, minutes)
    idle = sorted(
        (record for record in mastered if record not in checks),
        key=lambda record: record.last_played,
    )
    others = [record for record in [*by_need, *idle] if record is not focus]
    known = _known(others, focus)
    return PieceSelection(focus, new is not None, checks, known, _warm_up(idle, known))


def _need(record: Record) -> tuple[date, float]:
    """Sorts by what is due first, then by how far the goal still is."""
    return practice_due(record), next_tempo(record) / record.piece.highest


def _new_one(records: Sequence[Record], open_ones: Sequence[Record], day: date) -> Record | None:
    """At most one a day: the one that was begun today, or one there is room for."""
    begun = next((one for one in records if one.begun_today and not one.is_mastered), None)
    if begun or len(open_ones) >= IN_WORK:
        return begun
    new = [record for record in records if not record.sittings and not record.is_mastered]
    lately = [record for record in open_ones if record.begun_on == day - _DAY]
    return next((one for one in new if not _is_close(one, lately)), next(iter(new), None))


def _checks(mastered: Sequence[Record], day: date, minutes: int) -> Sequence[Record]:
    """What is due to be played cold, longest due first; never more than the minutes hold."""
    due = [(recheck_due(record), record.piece.id, record) for record in mastered]
    most = max(1, minutes // MINUTES_A_CHECK)
    return [record for on, _, record in sorted(due, key=lambda one: one[:2]) if on <= day][:most]


def _known(others: Sequence[Record], focus: Record | None) -> list[Record]:
    """The first of those that are not close to the focus; where these are too few, the others."""
    known: list[Record] = []
    close: list[Record] = []
    for other in others:
        if len(known) == KNOWN:
            break
        (close if focus and _is_close(other, [focus]) else known).append(other)
    return [*known, *close][:KNOWN]


def _is_close(record: Record, others: Sequence[Record]) -> bool:
    return any(likeness(record.piece.fill, other.piece.fill) >= TOO_ALIKE for other in others)


def _warm_up(idle: Sequence[Record], known: Sequence[Record]) -> Record | None:
    """Something that is known: what is mastered and not played otherwise today, if there is."""
    spare = [record for record in idle if record not in known]
    return next(iter([*spare, *known]), None)
