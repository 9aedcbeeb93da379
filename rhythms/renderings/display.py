"""Notation as a page shows it."""

import logging
import re
from typing import Any, NamedTuple

from django.utils.safestring import SafeString, mark_safe

from rhythms.engine import EngineError, Fill
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.kits.surfaces import RANK
from rhythms.models import Rendering
from rhythms.notation import EngravingError, legend, svg
from rhythms.notation.fill_text import description, title
from rhythms.renderings.rendering_store import markup
from studio import task_queue

logger = logging.getLogger(__name__)
_BOX = re.compile(r'viewBox="\S+ \S+ (\S+) (\S+)"')


class Picture(NamedTuple):
    """An engraving that is shown by its address: its size, and what it shows in words."""

    width: int
    height: int
    words: str


def picture_of(page: dict[str, Any]) -> Picture | None:
    """Of a `rendering_context`; None where it is not made."""
    box = _BOX.search(page["svg"] or "")
    if not box:
        return None
    fill, feel = page["rendering"].fill, page["rendering"].feel
    width, height = (round(float(side)) for side in box.groups())
    return Picture(width, height, f"{title(fill)}. {description(fill, feel=feel)}")


def rendering_context(rendering: Rendering, with_legend: bool = True) -> dict[str, Any]:
    """What `rhythms/renderings/rendering.html` needs, made or not yet made."""
    drawing = markup(rendering)
    fill = _fill_or_none(rendering)
    return {
        "rendering": rendering,
        "worker_is_away": task_queue.breaker.server_is_away,
        "svg": _safe(drawing) if drawing else None,
        "counts": counts_or_nothing(fill) if fill and not drawing else "",
        "with_legend": with_legend,
        "legend": legend_of(fill) if fill and with_legend else (),
    }


def inline_svg(
    fill: Fill, prefix: str, counts: bool = False, feel: Feel = STRAIGHT
) -> SafeString | None:
    """A fill engraved at once, for what nobody keeps; None where the engraver refuses it.

    Ids begin with `prefix`, which the page must use only once.
    """
    try:
        return _safe(svg(fill, prefix=prefix, counts=counts, feel=feel))
    except EngravingError:
        logger.exception("Not engraved: %s", fill.to_json())
        return None


def legend_of(*fills: Fill) -> list[tuple[str, SafeString]]:
    """Name and drawing of each surface that the fills use, in the order used everywhere."""
    entries = {entry.name: entry for fill in fills for entry in legend(fill)}
    return [
        (entry.name, _safe(entry.svg))
        for entry in sorted(entries.values(), key=lambda entry: RANK[entry.surface])
    ]


def counts_or_nothing(fill: Fill) -> str:
    """The count line of the bar, or "" for a bar finer than counting goes."""
    try:
        return fill.bar.counts()
    except EngineError:
        return ""


def _fill_or_none(rendering: Rendering) -> Fill | None:
    """A rendering that failed may hold something that is no fill."""
    try:
        return rendering.fill
    except EngineError:
        return None


def _safe(drawing: str) -> SafeString:
    """The notation package writes drawings as XML from engine objects, text escaped."""
    return mark_safe(drawing)  # noqa: S308
