"""The drawings of fills and grooves for the stage, made by the worker, asked for when shown."""

from collections.abc import Collection, Sequence
from typing import Any, NamedTuple

from assignments.models import AssignedVariation
from rhythms.models import Rendering
from rhythms.renderings.display import rendering_context


class StageDrawing(NamedTuple):
    """A drawing by its key, with its SVG where it is made."""

    key: str
    svg: str | None


def drawings_of(
    fills: Sequence[AssignedVariation],
) -> tuple[dict[int, dict[str, Any]], Collection[StageDrawing]]:
    """What is shown of each fill, by its pk (see `Stage`), and all of these drawings."""
    shown = {
        fill.pk: {
            "fill": {"stage": [], "page": fill.rendering_id},
            "groove": {"stage": [], "page": None},
        }
        for fill in fills
    }
    found = {fill.rendering_id: fill.rendering for fill in fills}
    return shown, [_drawing(rendering) for rendering in found.values()]


def _drawing(rendering: Rendering) -> StageDrawing:
    page: dict[str, Any] = rendering_context(rendering, with_legend=False)
    return StageDrawing(rendering.key, page["svg"])
