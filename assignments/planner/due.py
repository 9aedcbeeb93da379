"""When something is to be played again: a spaced-repetition scheduler decides (FSRS).

`fsrs` is the reference implementation by the authors of the algorithm: typed, pure Python,
without dependencies of its own but one. Its learning steps of minutes are left out, since gaps of
minutes are of no use to musicians (Wiseheart et al. 2017); so is its random fuzz, since the
same history must give the same plan.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time
from itertools import groupby
from typing import NamedTuple

from fsrs import Card, Rating, Scheduler

from assignments.mastery import came_out_clean
from assignments.planner.history import Record, Sitting

#: What is mastered is heard again at least every so many days.
LONGEST_GAP = 30

_SCHEDULER = Scheduler(
    learning_steps=(), relearning_steps=(), maximum_interval=LONGEST_GAP, enable_fuzzing=False
)
_FELT = {"easy": Rating.Good, "good": Rating.Good, "hard": Rating.Hard, "sore": Rating.Again}


class Review(NamedTuple):
    """How it went on a day."""

    day: date
    rating: Rating


def due_on(reviews: Iterable[Review]) -> date:
    """Return the day on which it is due after these reviews, of which there is at least one."""
    card = Card(card_id=0, due=_noon(date.min))
    for day, rating in reviews:
        card, _ = _SCHEDULER.review_card(card, rating, _noon(day))
    return card.due.date()


def recheck_due(record: Record) -> date:
    """Return when a mastered piece is to be played cold again.

    First soon after it was mastered, then at growing gaps, as long as it comes out clean.
    """
    mastered_on = record.piece.mastered_on
    assert mastered_on is not None  # noqa: S101 - asked of mastered pieces alone
    checks = [
        Review(sitting.day, Rating.Good)
        for sitting in record.sittings
        if sitting.recheck and sitting.day > mastered_on and was_clean(sitting)
    ]
    return due_on([Review(mastered_on, Rating.Hard), *checks])


def practice_due(record: Record) -> date:
    """Return when a piece in work is due: the poorer it went, the sooner."""
    days = groupby(record.sittings, key=lambda sitting: sitting.day)
    return due_on([Review(day, _rating_in_work(list(sittings))) for day, sittings in days])


def _rating_in_work(sittings: Sequence[Sitting]) -> Rating:
    """How a day went with the piece itself; middling where only a simpler form was played."""
    own = [sitting for sitting in sittings if not sitting.easier]
    return rating_of(own) if own else Rating.Hard


def rating_of(sittings: Sequence[Sitting]) -> Rating:
    """How a day went: by all its clean times through, else by how it felt, else middling."""
    counted = [
        (sitting.loops, sitting.clean_loops)
        for sitting in sittings
        if sitting.loops and sitting.clean_loops is not None
    ]
    if not counted:
        return min(_FELT.get(sitting.felt, Rating.Hard) for sitting in sittings)
    loops, clean = (sum(numbers) for numbers in zip(*counted, strict=True))
    if came_out_clean(loops, clean):
        return Rating.Good
    return Rating.Hard if 2 * clean >= loops else Rating.Again


def was_clean(sitting: Sitting) -> bool:
    """Whether it is known to have come out clean."""
    if not sitting.loops or sitting.clean_loops is None:
        return False
    return came_out_clean(sitting.loops, sitting.clean_loops)


def _noon(day: date) -> datetime:
    """Days are counted, not hours: the same hour of each in one zone keeps them whole."""
    return datetime.combine(day, time(12), tzinfo=UTC)
