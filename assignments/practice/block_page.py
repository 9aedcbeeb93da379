"""A block as a page of bars: groove, the bar that leads into the fill, the fill, the landing."""

from collections.abc import Sequence
from typing import NamedTuple

from assignments.blocks import block_of
from assignments.models import AssignedVariation
from rhythms.engine.playback.block_bars import BlockBar, bars_of
from rhythms.models import Rendering
from rhythms.renderings.rendering_store import renderings_for

_KINDS = {
    "groove": "Groove",
    "setup": "Groove, leading into the fill",
    "fill": "The fill",
    "landing": "One, after the fill",
}


class ShownBar(NamedTuple):
    """A bar of the block with its engraving; without one, `why` it cannot be engraved."""

    bar: BlockBar
    rendering: Rendering | None

    @property
    def name(self) -> str:
        """`Bar 3: Groove, leading into the fill`; the landing is the first bar of the next time."""
        kind, first, last, *_ = self.bar
        if kind == "landing":
            return _KINDS[kind]
        bars = f"Bar {first}" if first == last else f"Bars {first} to {last}"
        return f"{bars}: {_KINDS[kind]}"


def bars_shown(fill: AssignedVariation) -> Sequence[ShownBar]:
    """Every bar of the fill's block in order; each drawing is made once, in one query."""
    bars = list(bars_of(block_of(fill)))
    written = [bar.strokes for bar in bars if bar.strokes is not None]
    drawn = iter(renderings_for(written, counts=True, feel=fill.assignment.feel))
    shown = [ShownBar(bar, next(drawn) if bar.strokes is not None else None) for bar in bars]
    # The fill as everywhere, with its hands, where no groove goes on in its bars.
    own = fill.as_fill
    return [
        one._replace(rendering=fill.rendering) if one.bar.strokes == own else one for one in shown
    ]
