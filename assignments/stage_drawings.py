"""The drawings of fills and grooves for the stage, made by the worker, asked for when shown."""

from collections.abc import Collection, Iterable, Sequence
from itertools import islice
from typing import Any, NamedTuple

from assignments.blocks import groove_written
from assignments.models import AssignedVariation
from rhythms.models import Rendering
from rhythms.renderings.display import rendering_context
from rhythms.renderings.rendering_store import drawn_in_ways, engraving_of

#: Of the ways of drawing: what a fill and a groove fill the screen with, whichever way it is held.
_ON_SCREEN = ("stage-portrait", "stage-landscape")
#: For who wants a fill larger, fetched then; and a groove small above its fill.
_LARGE, _SMALL = "stage-large", "stage-groove"


class StageDrawing(NamedTuple):
    """A drawing by its key, with its SVG where it is made and ``wanted`` at once."""

    key: str
    svg: str | None
    wanted: bool = True


def drawings_of(
    fills: Sequence[AssignedVariation],
) -> tuple[dict[int | str, dict[str, Any]], Collection[StageDrawing]]:
    """What is shown of each fill, by its `stage_key`, and all of these drawings.

    Of a ``fill`` the keys of those for the ``stage``, of one that is ``large``, and of that of the
    ``page``, which is shown until they are made; of a ``groove``, where it is not silent, those for
    the ``stage`` and the ``small`` one. One query where all are made already.
    """
    grooves = {fill.stage_key: groove for fill in fills if (groove := _groove(fill))}
    asked = [(way, fill.rendering) for fill in fills for way in (*_ON_SCREEN, _LARGE)]
    asked += [(way, groove) for groove in grooves.values() for way in (*_ON_SCREEN, _SMALL)]
    found = iter(drawn_in_ways(asked))
    shown: dict[int | str, dict[str, Any]] = {}
    drawings: dict[str, StageDrawing] = {}
    for fill in fills:
        *stage, large = islice(found, 3)
        page = [] if any(map(_is_made, stage)) else [fill.rendering]
        keys = _keys(stage) | {"large": large.key, "page": fill.rendering_id}
        shown[fill.stage_key] = {"fill": keys, "groove": None}
        drawings |= {one.key: _drawing(one) for one in (*stage, *page)}
        drawings[large.key] = StageDrawing(large.key, None, wanted=False)
    for key in grooves:
        *stage, small = islice(found, 3)
        shown[key]["groove"] = _keys(stage) | {"small": small.key}
        drawings |= {one.key: _drawing(one) for one in (*stage, small) if one.key not in drawings}
    return shown, drawings.values()


def _groove(fill: AssignedVariation) -> Rendering | None:
    """What would be engraved of the groove before a fill; None where it is silent."""
    bars = groove_written(fill.assignment, fill.as_fill.bar.meter.one_bar).bars
    return engraving_of(bars[0], feel=fill.assignment.feel) if bars else None


def _keys(drawn: Iterable[Rendering]) -> dict[str, Any]:
    return {"stage": [one.key for one in drawn]}


def _is_made(rendering: Rendering) -> bool:
    return rendering.state == Rendering.State.DONE


def _drawing(rendering: Rendering) -> StageDrawing:
    page = rendering_context(rendering, with_legend=False)
    return StageDrawing(rendering.key, page["svg"])
