"""The day's plan as the stage runs through it: what to play, one item after the other."""

from collections.abc import Collection

from assignments.planner.plan import PlanPart
from assignments.stage_session import Stage, StageItem, stage_of
from assignments.today.today import Today, TodayItem
from rhythms.engine.playback.groove import Groove

#: What each item is there for, to be read from two metres.
TITLES = {
    PlanPart.LOOSEN_UP: "Loosen up",
    PlanPart.CHECK: "Does it hold? Played cold",
    PlanPart.NEW: "New today",
    PlanPart.WORK: "Keep at it",
    PlanPart.TURN: "In turn",
}


def stage_of_today(today: Today, grooves: Collection[Groove] = ()) -> Stage:
    """Return the plan for the stage; `grooves` are those that the student may change to."""
    return stage_of((_item(line) for line in today.lines), grooves)


def _item(line: TodayItem) -> StageItem:
    item = line.item
    easier = item.easier
    return StageItem(
        line.played,
        easier.words if easier else TITLES[item.part],
        item.tempo,
        item.loops,
        groove_alone=item.groove_alone,
        recheck=line.recheck,
        loosening=item.part is PlanPart.LOOSEN_UP,
        done=line.done,
        easier=easier is not None,
    )
