"""The stage: what a student sees full screen beside the kit.

A page has it by `{% include "assignments/stage/stage.html" %}` with a `Stage` in its context as
`stage`; any button with `data-stage-open` on the page opens and starts it, by one touch, which is
what lets a page sound. `Stage.session` is what the scripts in `static/js/stage` play, item by item,
and `Stage.drawings` what they show; a drawing that the worker has not made yet is asked for by the
page, which shows the fill's own engraving until it is there.
"""

from collections.abc import Collection, Iterable
from typing import Any, NamedTuple

from assignments.blocks import LOOPS, playable
from assignments.models import AssignedVariation
from assignments.stage_drawings import StageDrawing, drawings_of
from rhythms.engine.playback.groove import Groove


class StageItem(NamedTuple):
    """Something to play: a fill in its block, or, where `groove_alone`, the groove by itself.

    `title` says why; `goal` is the tempo that was asked for, `tempo` the one it is played at.
    `easier`: the fill is the simpler one of what is logged (see `assignments.easier_fill`).
    """

    fill: AssignedVariation
    title: str
    tempo: int
    loops: int
    groove_alone: bool = False
    recheck: bool = False
    loosening: bool = False
    done: bool = False
    easier: bool = False

    def to_json(self) -> dict[str, Any]:
        """As `static/js/stage/practice_run.js` reads it; `variation` is what is logged."""
        fill = self.fill
        return {
            "title": self.title,
            "name": "The groove alone" if self.groove_alone else str(fill),
            "block": fill.stage_key,
            "variation": None if self.groove_alone else fill.pk,
            "tempo": self.tempo,
            "unit": fill.tempo_unit,
            "feel": fill.feel_in_words,
            "goal": fill.assignment.tempo,
            "loops": self.loops,
            "grooveAlone": self.groove_alone,
            "recheck": self.recheck,
            "loosening": self.loosening,
            "mastered": fill.mastered_at is not None,
            "done": self.done,
            "easier": self.easier,
        }


class Stage(NamedTuple):
    """A `session` as JSON: `items` in order, `blocks` and `shown` by the fill's `stage_key`.

    What is `shown` names `drawings` by their keys, the best first: of the `fill`, and of the
    `groove` before it.
    """

    session: dict[str, Any]
    drawings: Collection[StageDrawing]


def stage_of(items: Iterable[StageItem], grooves: Collection[Groove] = ()) -> Stage:
    """Return the stage of these items; `grooves` are those that the student may change to."""
    in_order = list(items)
    fills = list({item.fill.stage_key: item.fill for item in in_order}.values())
    shown, drawings = drawings_of(fills)
    session = {
        "items": [item.to_json() for item in in_order],
        "blocks": {fill.stage_key: playable(fill, grooves) for fill in fills},
        "shown": shown,
    }
    return Stage(session, drawings)


def stage_of_fill(fill: AssignedVariation, grooves: Collection[Groove] = ()) -> Stage:
    """Return the stage of one fill, four times through at the tempo that was asked for."""
    item = StageItem(fill, "Played from its page", fill.assignment.tempo, LOOPS)
    return stage_of([item], grooves)
