"""How a fill may be drawn: for a page, small for a line of a list, or in rows for the stage.

A way to draw is a function of what is shown, and a version that changes with how it draws.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

from rhythms.models import Rendering
from rhythms.notation.engraving.small_picture import SMALL_VERSION, small_svg
from rhythms.notation.engraving.stage_svg import STAGE_FORMS, STAGE_VERSION, StageForm, stage_svg
from rhythms.notation.engraving.svg import SVG_VERSION, svg

#: What a rendering is where its source does not say how it is drawn.
PAGE = "page"
SMALL = "small"


class WayOfDrawing(NamedTuple):
    """``draw`` may raise EngineError and EngravingError."""

    version: str
    draw: Callable[[Rendering], str]


def _page(rendering: Rendering) -> str:
    """The engraving, with ids that are its own on any page."""
    counts = rendering.source["counts"]
    return svg(rendering.fill, prefix=_prefix(rendering), counts=counts, feel=rendering.feel)


def _small(rendering: Rendering) -> str:
    return small_svg(rendering.fill)


def _on_stage(form: StageForm, rendering: Rendering) -> str:
    return stage_svg(rendering.fill, form, prefix=_prefix(rendering), feel=rendering.feel)


def _prefix(rendering: Rendering) -> str:
    return f"r{rendering.key[:12]}"


#: By name, as it stands in a rendering's source under "drawn".
DRAWINGS = {
    PAGE: WayOfDrawing(SVG_VERSION, _page),
    SMALL: WayOfDrawing(SMALL_VERSION, _small),
    **{
        name: WayOfDrawing(STAGE_VERSION, partial(_on_stage, form))
        for name, form in STAGE_FORMS.items()
    },
}


def drawing_of(source: dict[str, Any]) -> WayOfDrawing:
    """How this is drawn."""
    return DRAWINGS[source.get("drawn", PAGE)]


def engraving_version(source: dict[str, Any]) -> str:
    """The version of what draws this."""
    return drawing_of(source).version
