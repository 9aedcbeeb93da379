"""Why a fill is in today's plan, and what is said to whoever was away, in plain words."""

from assignments.models.variation import State
from assignments.planner.plan import Item, PlanPart

_REASONS = {
    PlanPart.CHECK: "Does it still hold? Played cold",
    PlanPart.NEW: "New today",
    PlanPart.WORK: "The one to work on",
    PlanPart.TURN: "Next in turn",
    PlanPart.LOOSEN_UP: "To loosen up, slowly",
}
_GROOVE = "Its groove alone, to loosen up"
#: Days without practice after which somebody is welcomed, and after which it was many.
A_WEEK, MANY = 7, 28
_BACK = "Good to have you back."


def reason(item: Item, state: State) -> str:
    """Return why a fill is there that stands so; without a full stop."""
    if item.groove_alone:
        return _GROOVE
    if item.easier:
        return item.easier.words
    if state is State.RETURNED:
        return f"Came back: a few times at {item.tempo}"
    return _REASONS[item.part]


def welcome(away: int, first: Item, *, known: bool) -> str:
    """Return what is said after so many days without practice; never what was missed.

    `first` is what the plan begins with, `known` whether its fill was played before: it promises
    what is so.
    """
    if away < A_WEEK:
        return ""
    if not known or first.groove_alone:
        return _BACK
    if away < MANY:
        return f"{_BACK} You know the first one."
    if first.part is PlanPart.LOOSEN_UP and first.tempo < first.piece.highest:
        return f"{_BACK} We start slower, with one you could play."
    return _BACK
