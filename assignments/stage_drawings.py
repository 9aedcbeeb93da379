"""The drawings of fills and grooves for the stage, made by the worker, asked for when shown.

Where there is no worker each is made when the page asks for it, as `stage_drawing.js` does.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any, NamedTuple

from assignments.blocks import groove_written
from assignments.models import AssignedVariation
from rhythms.models import Rendering
from rhythms.renderings.display import rendering_context
from rhythms.renderings.rendering_store import engraving_of, in_the_way, put_off

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
    the ``stage`` and the ``small`` one. The drawings are in the order in which they are needed:
    a groove sounds before its fill. One query where all are made already.
    """
    grooves = [_groove(fill) for fill in fills]
    found = iter(put_off(_asked(fills, grooves)))
    shown: dict[int | str, dict[str, Any]] = {}
    drawings: dict[str, StageDrawing] = {}
    for fill, groove in zip(fills, grooves, strict=True):
        of_groove = list(islice(found, 3 if groove else 0))
        *stage, large = islice(found, 3)
        keys = _keys(stage) | {"large": large.key, "page": fill.rendering_id}
        small = {"small": of_groove[-1].key} if of_groove else {}
        before = _keys(of_groove[:-1]) | small if of_groove else None
        shown[fill.stage_key] = {"fill": keys, "groove": before}
        page = [] if any(map(_is_made, stage)) else [fill.rendering]
        wanted = (one for one in (*of_groove, *stage, *page) if one.key not in drawings)
        drawings |= {one.key: _drawing(one) for one in wanted}
        drawings[large.key] = StageDrawing(large.key, None, wanted=False)
    return shown, drawings.values()


def _asked(
    fills: Sequence[AssignedVariation], grooves: Sequence[Rendering | None]
) -> Iterator[Rendering]:
    """Of each groove, where there is one, and then of its fill what is shown of it."""
    for fill, groove in zip(fills, grooves, strict=True):
        if groove:
            yield from (in_the_way(way, groove) for way in (*_ON_SCREEN, _SMALL))
        yield from (in_the_way(way, fill.rendering) for way in (*_ON_SCREEN, _LARGE))


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
