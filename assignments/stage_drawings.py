"""The drawings of fills and grooves for the stage, made by the worker, asked for when shown."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from assignments.blocks import groove_written
from assignments.models import AssignedVariation
from rhythms.models import Rendering
from rhythms.renderings.display import rendering_context
from rhythms.renderings.rendering_store import drawn_in_ways, engraving_of

#: Of the ways of drawing; the last one is fetched by who wants it larger.
_WAYS = ("stage-portrait", "stage-landscape", "stage-large")


class StageDrawing(NamedTuple):
    """A drawing by its key, with its SVG where it is made and ``wanted`` at once."""

    key: str
    svg: str | None
    wanted: bool


class ShownDrawings(NamedTuple):
    """Keys of drawings for the stage; ``page`` is shown until they are made."""

    stage: list[str]
    large: str
    page: str | None

    def to_json(self) -> dict[str, Any]:
        """As `static/js/stage/stage_notation.js` reads it."""
        return self._asdict()


def drawings_of(
    fills: Sequence[AssignedVariation],
) -> tuple[dict[int, dict[str, Any]], Collection[StageDrawing]]:
    """What is shown of each fill and of its groove, by its pk, and all of these drawings."""
    grooves = {fill.pk: _groove(fill) for fill in fills}
    written = {key: groove for key, groove in grooves.items() if groove}
    engravings = [*(fill.rendering for fill in fills), *written.values()]
    drawn = list(_in_all_ways(engravings))
    shown: dict[int, dict[str, Any]] = {
        fill.pk: {"fill": _shown(each, fill.rendering_id), "groove": None}
        for fill, each in zip(fills, drawn, strict=False)
    }
    for key, each in zip(written, drawn[len(fills) :], strict=True):
        shown[key]["groove"] = _shown(each, None)
    unmade = [fill.rendering for fill, each in zip(fills, drawn, strict=False) if not _made(each)]
    of_stage = {one.key: (one, one is not each[-1]) for each in drawn for one in each}
    instead = {one.key: (one, True) for one in unmade}
    return shown, [_drawing(*one) for one in (of_stage | instead).values()]


def _in_all_ways(engravings: Iterable[Rendering]) -> Iterator[tuple[Rendering, ...]]:
    """Of each engraving its drawings for the stage; one query where all are made already."""
    found = iter(drawn_in_ways(_WAYS, engravings))
    return zip(*[found] * len(_WAYS), strict=True)


def _groove(fill: AssignedVariation) -> Rendering | None:
    """What would be engraved of the groove before a fill; None where it is silent."""
    _, fills = groove_written(fill.assignment, fill.as_fill.bar.meter.one_bar)
    return engraving_of(fills[0], feel=fill.assignment.feel) if fills else None


def _shown(drawn: Sequence[Rendering], page: str | None) -> dict[str, Any]:
    *stage, large = (one.key for one in drawn)
    return ShownDrawings(stage, large, page).to_json()


def _made(drawn: Iterable[Rendering]) -> bool:
    return any(one.state == Rendering.State.DONE for one in drawn)


def _drawing(rendering: Rendering, wanted: bool) -> StageDrawing:
    page = rendering_context(rendering, with_legend=False) if wanted else {"svg": None}
    return StageDrawing(rendering.key, page["svg"], wanted)
