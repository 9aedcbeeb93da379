"""Why a fill is there, and what is said to whoever comes back."""

from datetime import date

import pytest

from assignments.models.variation import State
from assignments.planner.history import Piece
from assignments.planner.plan import Item, PlanPart
from assignments.today.reasons import A_WEEK, MANY, reason, welcome
from rhythms.engine import Bar, Meter
from rhythms.engine.fills.fill import snare_fill

FILL = snare_fill(Bar.from_counts("1 & 2 e & a 3 & 4 e & a", Meter(4, 4)))
PIECE = Piece(1, FILL, 4, 80, date(2026, 11, 1))


def item(part: PlanPart = PlanPart.LOOSEN_UP, tempo: int = 56, **details) -> Item:
    return Item(part, PIECE, tempo, 4, **details)


@pytest.mark.parametrize("part", PlanPart)
def test_every_part_of_a_plan_has_its_reason(part):
    assert reason(item(part), State.PRACTISING)[0].isupper()


def test_what_came_back_says_at_which_tempo():
    assert reason(item(PlanPart.TURN, 76), State.RETURNED) == "Came back: a few times at 76"


def test_a_groove_alone_is_no_fill_that_came_back():
    assert "groove" in reason(item(groove_alone=True), State.RETURNED)


@pytest.mark.parametrize("away", [0, 1, A_WEEK - 1])
def test_after_days_nobody_is_welcomed(away):
    assert welcome(away, item(), known=True) == ""


@pytest.mark.parametrize("away", [A_WEEK, MANY - 1])
def test_after_a_week_the_first_one_is_known(away):
    assert welcome(away, item(), known=True) == "Good to have you back. You know the first one."


@pytest.mark.parametrize("away", [MANY, 400])
def test_after_many_it_starts_slower(away):
    assert welcome(away, item(), known=True) == (
        "Good to have you back. We start slower, with one you could play."
    )


@pytest.mark.parametrize(
    ("first", "known"),
    [(item(), False), (item(groove_alone=True), True), (item(PlanPart.NEW), False)],
    ids=["never played", "the groove alone", "new"],
)
@pytest.mark.parametrize("away", [A_WEEK, MANY])
def test_nothing_is_promised_that_is_not_so(first, known, away):
    assert welcome(away, first, known=known) == "Good to have you back."


def test_no_slower_start_is_promised_at_full_tempo():
    assert welcome(MANY, item(tempo=80), known=True) == "Good to have you back."
