"""A fill or a bar as SVG for a page: one group a stroke, the page's own ink, words beside it."""

from __future__ import annotations

from collections.abc import Callable

from rhythms.engine import Bar, Fill, Stroke
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.timeline import GRACES
from rhythms.notation.engraving.cleaning import clean
from rhythms.notation.engraving.count_layer import silent_counts
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.mei import count_row, mei, prefix_of
from rhythms.notation.engraving.swing_sign import swing_sign
from rhythms.notation.engraving.word_gaps import smallest_gap
from rhythms.notation.fill_text import description, title

#: Changes whenever the same fill would be drawn differently.
SVG_VERSION = "svg-9"

#: In the engraver's units; a staff space is 18. Bars up to 24 plain notes are equally
#: wide, so that their staves are equally high on a page.
_WIDTH = 700
_CLEF_AND_METER = 100
_A_NOTE, _A_GHOST = 25, 54
#: By the number of grace notes; what is between beamed notes stretches with all of the bar.
_GRACES = (0, 60, 80)
_A_LETTER, _A_GAP = 15, 14
#: Notes share a bar by their length, words do not: how far apart words stand, in parts of their
#: height; by how much a bar is wider that presses them together, and how often at most.
_APART, _LOOSER, _TRIES = 0.3, 1.12, 5


def svg(
    fill: Fill, *, prefix: str | None = None, counts: bool = False, feel: Feel = STRAIGHT
) -> str:
    """The fill engraved, after groove where it starts late; its counts below where ``counts``.

    It is written straight, with the sign of the ``feel`` above.

    Every id starts with ``prefix`` (by default a hash of the fill): stroke number ``i`` is
    the group ``{prefix}-s{i}`` of class ``stroke``. The same input gives the same text.
    Raises EngravingError.
    """
    written = mei(fill, prefix := prefix or prefix_of(fill), counts=counts, groove=True)
    heard = feel.in_meter(fill.bar.meter)
    words, sign = description(fill, feel=heard), swing_sign(heard)

    def draw(width: int) -> str:
        return clean(engrave(written, width), prefix, title(fill), words, sign)

    return with_room(draw, _width(fill, counts=counts))


def bar_svg(bar: Bar, *, prefix: str | None = None, counts: bool = False) -> str:
    """The bar alone: on the snare, with its accents and rests. Raises EngravingError."""
    fill = snare_fill(bar)
    prefix = prefix or prefix_of(fill, "b")
    written, words = mei(fill, prefix, counts=counts), description(fill, groove=False)

    def draw(width: int) -> str:
        return clean(engrave(written, width), prefix, title(fill), words)

    return with_room(draw, _width(fill, counts=counts))


def with_room(draw: Callable[[int], str], width: int, apart: float = _APART) -> str:
    """What ``draw`` draws at that width, or wider until its words stand apart.

    ``apart``: by so many parts of their height at least.
    """
    drawing = draw(width)
    for _ in range(_TRIES):
        if smallest_gap(drawing) >= apart:
            break
        drawing = draw(width := round(width * _LOOSER))
    return drawing


def _width(fill: Fill, *, counts: bool) -> int:
    """Wide enough that neither heads nor counts touch, in the bar that needs most."""
    needed = [_bar_width(fill, bar, counts=counts) for bar in range(fill.bar.meter.bars)]
    if fill.bar.meter.pickup:
        needed = [sum(needed[:2]), *needed[2:]]
    return max(_WIDTH, _CLEF_AND_METER + max(needed))


def _bar_width(fill: Fill, bar: int, *, counts: bool) -> int:
    labels = count_row(fill) if counts else ("",) * len(fill.strokes)
    bar_at = fill.bar.meter.bar_at
    struck = [note.index for note in fill.bar.sounded if bar_at(note.onset) == bar]
    between = {hit.onset for hit in fill.going_on} - {note.onset for note in fill.bar.notes}
    strokes = sum(stroke_width(fill.strokes[index], labels[index]) for index in struck)
    written = [note for note in fill.bar.notes if note.onset >= fill.bar.meter.opens_at]
    others = sum(bar_at(note.onset) == bar for note in written) - len(struck)
    silent = sum(_word_width(one.label) for one in silent_counts(fill, bar)) if counts else 0
    feet = _A_NOTE * sum(bar_at(onset) == bar for onset in between)
    return strokes + feet + max(_A_NOTE * others, silent)


def stroke_width(stroke: Stroke, label: str) -> int:
    head = _A_GHOST if stroke.dynamic == "ghost" else _A_NOTE
    graces = GRACES.get(stroke.ornament or "", 0)
    return max(head + _GRACES[graces], _word_width(label) if label else 0)


def _word_width(word: str) -> int:
    return len(word) * _A_LETTER + _A_GAP
