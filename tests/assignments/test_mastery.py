"""How a fill stands after whatever happened to it: laws over random histories."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.mastery import (
    CLEAN,
    CONFIRMED,
    MASTERED,
    NOT_CLEAN,
    TAKEN_BACK,
    came_out_clean,
    mastery_status,
)
from assignments.models import MasteryEvent

START = datetime(2026, 11, 2, 18, tzinfo=UTC)
KINDS = (MASTERED, CLEAN, NOT_CLEAN, CONFIRMED, TAKEN_BACK)


@dataclass(frozen=True)
class Step:
    kind: str
    day: date
    at: datetime
    teacher_id: int | None = None


@st.composite
def histories(draw):
    """Up to a dozen steps, as they were kept: each up to three days after its day."""
    steps = []
    for number in range(draw(st.integers(0, 12))):
        happened = START + timedelta(days=draw(st.integers(0, 9)), minutes=number)
        recorded = happened + timedelta(days=draw(st.integers(0, 3)))
        kind = draw(st.sampled_from(KINDS))
        teacher = 1 if kind == CONFIRMED else draw(st.sampled_from((None, 1)))
        steps.append(Step(kind, happened.date(), recorded, teacher))
    return steps


@given(histories(), st.randoms())
def test_the_order_in_which_days_arrive_does_not_matter(steps, random):
    days = sorted({step.day for step in steps})
    random.shuffle(days)
    shuffled = [step for day in days for step in steps if step.day == day]
    assert mastery_status(shuffled) == mastery_status(steps)


@given(histories(), st.sampled_from((MASTERED, TAKEN_BACK)), st.integers(-48, 48))
def test_of_one_day_the_last_that_was_kept_stands_by_any_clock(steps, kind, hours):
    last_day = max((step.day for step in steps), default=START.date())
    mark = Step(kind, last_day, START + timedelta(hours=hours))
    assert (mastery_status([*steps, mark]).mastered_at is not None) == (kind == MASTERED)


@given(histories())
def test_what_holds_is_mastered_and_what_came_back_is_not(steps):
    standing = mastery_status(steps)
    if standing.held_at:
        assert standing.mastered_at
    if standing.returned_at:
        assert not standing.mastered_at
    assert (standing.mastered_at is None) == (standing.mastered_on is None)


@given(histories())
def test_what_holds_was_confirmed_or_came_out_clean_on_a_later_day(steps):
    standing = mastery_status(steps)
    if standing.held_at:
        assert any(
            step.kind == CONFIRMED or (step.kind == CLEAN and step.day > standing.mastered_on)
            for step in steps
        )


@given(histories())
def test_a_confirmed_fill_holds_whatever_was_before(steps):
    later = START + timedelta(days=30)
    confirmed = Step(CONFIRMED, later.date(), later, 1)
    assert mastery_status([*steps, confirmed]).held_at


@pytest.mark.parametrize(
    ("loops", "clean", "is_clean"),
    [(4, 3, True), (4, 2, False), (8, 6, True), (8, 5, False), (1, 1, True), (3, 2, False)],
)
def test_three_of_four_times_through_are_clean(loops, clean, is_clean):
    assert came_out_clean(loops, clean) == is_clean


def test_the_kinds_are_those_that_are_kept():
    assert set(MasteryEvent.Kind.values) == set(KINDS)
