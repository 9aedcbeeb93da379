"""Small pictures of fills, for lists: asked for all at once, shown by `{% fill_picture fill %}`."""

from collections.abc import Iterable
from typing import NamedTuple

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from assignments.models import AssignedVariation
from rhythms.engine import EngineError
from rhythms.models import Rendering
from rhythms.notation.engraving.small_picture import PictureSize, empty_svg, picture_size
from rhythms.notation.fill_text import description
from rhythms.renderings.drawings import SMALL
from rhythms.renderings.rendering_store import in_the_way, markup, put_off

#: What a picture is given besides what was drawn.
_OPENING = '<svg role="img" width="{}" height="{}"><title>{}</title><desc>{}</desc>'


class FillPicture(NamedTuple):
    """A fill's small picture in the page; `waits` where it is still being drawn.

    It is of the fill as it was given, or `of` a simpler form: the key of what is drawn.
    """

    svg: SafeString
    waits: bool
    of: str = ""


def with_pictures(fills: Iterable[AssignedVariation]) -> list[Rendering]:
    """Give each its `small`, the rendering of its small picture; in one query where all are made.

    Each needs its `rendering`. Returns what it gave. One that is not made comes to the page later.
    """
    listed = list(fills)
    pictures = put_off(in_the_way(SMALL, one.rendering) for one in listed)
    for fill, small in zip(listed, pictures, strict=True):
        fill.small = small
    return pictures


def picture_of_fill(fill: AssignedVariation) -> FillPicture:
    """Its picture, called by its name; what is struck, beat by beat, is its description."""
    if fill.small is None:
        with_pictures([fill])
    small = fill.small or fill.rendering
    drawing = markup(small)
    waits = small.state == Rendering.State.WAITING
    try:
        shown = small.fill
        size, words = picture_size(shown), description(shown, feel=small.feel)
    except EngineError:
        # What cannot be read cannot be drawn either: its place stays empty.
        size, words = PictureSize(168, 60), ""
    named = _named(drawing or empty_svg(size), size, str(fill), words)
    return FillPicture(named, waits, small.key if fill.is_simpler else "")


def _named(drawing: str, size: PictureSize, name: str, words: str) -> SafeString:
    opening = format_html(_OPENING, *size, name, words).removeprefix("<svg")
    start, tag_end = drawing.partition(">")[0], drawing.partition(">")[2]
    attributes, _, inside = opening.partition(">")
    # The notation package writes drawings as XML from engine objects.
    return mark_safe(f"{start}{attributes}>{inside}{tag_end}")  # noqa: S308
