"""How a fill may be drawn: for a page, or small for a line of a list.

A way to draw is a function of what is shown, and a version that changes with how it draws.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

from rhythms.models import Rendering
from rhythms.notation.engraving.small_picture import SMALL_VERSION, small_svg
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
    prefix, counts = f"r{rendering.key[:12]}", rendering.source["counts"]
    return svg(rendering.fill, prefix=prefix, counts=counts, feel=rendering.feel)


def _small(rendering: Rendering) -> str:
    return small_svg(rendering.fill)


#: By name, as it stands in a rendering's source under "drawn".
DRAWINGS = {PAGE: WayOfDrawing(SVG_VERSION, _page), SMALL: WayOfDrawing(SMALL_VERSION, _small)}


def drawing_of(source: dict[str, Any]) -> WayOfDrawing:
    """How this is drawn."""
    return DRAWINGS[source.get("drawn", PAGE)]


def engraving_version(source: dict[str, Any]) -> str:
    """The version of what draws this."""
    return drawing_of(source).version
