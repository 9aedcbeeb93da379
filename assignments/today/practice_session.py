"""The day's plan as its page runs through it: what to play, one item after the other."""

from collections.abc import Collection
from typing import Any

from assignments.blocks import playable
from assignments.planner.plan import PlanPart
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


def session_json(today: Today, grooves: Collection[Groove] = ()) -> dict[str, Any]:
    """Return the plan as JSON: `items` in order, and the `blocks` they play, by the fill's pk.

    `grooves` are those that the student may change to.
    An item has what is logged of it (`variation`, None where the groove is played alone), and
    `notation`, the key of its engraving.
    """
    fills = {line.fill.pk: line.fill for line in today.lines}
    return {
        "items": [_item(line) for line in today.lines],
        "blocks": {pk: playable(fill, grooves) for pk, fill in fills.items()},
    }


def first_shown(session: dict[str, Any]) -> dict[str, Any]:
    """Return the item a run begins with (`now`: the first that is not done) and the one `after`."""
    items = session["items"]
    at = next((number for number, item in enumerate(items) if not item["done"]), 0)
    now, after = (*items[at : at + 2], None, None)[:2]
    return {"now": now, "after": after}


def _item(line: TodayItem) -> dict[str, Any]:
    item = line.item
    return {
        "title": TITLES[item.part],
        "name": "The groove alone" if item.groove_alone else str(line.fill),
        "block": line.fill.pk,
        "variation": None if item.groove_alone else line.fill.pk,
        "notation": line.fill.rendering_id,
        "tempo": item.tempo,
        "unit": line.fill.tempo_unit,
        "feel": line.fill.feel_in_words,
        "goal": item.piece.goal,
        "loops": item.loops,
        "seconds": round(float(item.seconds), 3),
        "grooveAlone": item.groove_alone,
        "recheck": line.recheck,
        "loosening": item.part is PlanPart.LOOSEN_UP,
        "mastered": line.fill.mastered_at is not None,
        "done": line.done,
    }
