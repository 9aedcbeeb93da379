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
    """Up to a dozen steps, each told up to three days after its day."""
    steps = []
    for number in range(draw(st.integers(0, 12))):
        happened = START + timedelta(days=draw(st.integers(0, 9)), minutes=number)
        recorded = happened + timedelta(days=draw(st.integers(0, 3)))
        kind = draw(st.sampled_from(KINDS))
        teacher = 1 if kind == CONFIRMED else draw(st.sampled_from((None, 1)))
        steps.append(Step(kind, happened.date(), recorded, teacher))
    return steps


@given(histories(), st.randoms())
def test_the_order_in_which_steps_arrive_does_not_matter(steps, random):
    shuffled = list(steps)
    random.shuffle(shuffled)
    assert mastery_status(shuffled) == mastery_status(steps)


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
