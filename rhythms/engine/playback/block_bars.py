"""A block bar by bar, written as strokes: what engraves a fill engraves all that leads to it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.playback.groove import GrooveHit
from rhythms.engine.playback.groove_fill import struck_together, written
from rhythms.engine.playback.timeline import Block


class BlockBar(NamedTuple):
    """One bar of a block, or the bars of its fill, counted from 1.

    ``kind`` is ``groove``, ``setup`` for the bar that leads into the fill, ``fill``, or ``landing``
    for the *one* after it. ``strokes`` is None where it cannot be written; ``why`` says why.
    """

    kind: str
    first: int
    last: int
    strokes: Fill | None
    why: str = ""


def bars_of(block: Block) -> Iterator[BlockBar]:
    """Every bar of the block in order, and the bar on whose *one* it lands."""
    whole = block.bars - block.fill_bars
    for number in range(whole):
        kind = "setup" if number in block.setting_up else "groove"
        yield _bar(kind, number + 1, block, block.groove_hits(number))
    strokes, why = _with_groove(block, whole)
    yield BlockBar("fill", whole + 1, block.bars, strokes, why)
    landing = [GrooveHit(one.onset, one.surface, one.dynamic) for one in block.landing]
    yield _bar("landing", block.bars + 1, block, landing)


def _bar(kind: str, number: int, block: Block, hits: list[GrooveHit]) -> BlockBar:
    try:
        return BlockBar(kind, number, number, written(hits, block.meter))
    except BarError as error:
        return BlockBar(kind, number, number, None, str(error))


def _with_groove(block: Block, first: int) -> tuple[Fill, str]:
    """The fill, with the groove that goes on in its bars; alone where that cannot be written."""
    fill, meter = block.fill, block.fill.bar.meter
    spans = fill.bar.groove_spans if fill.strokes else ((Fraction(0), meter.length),)
    going_on = [
        hit._replace(onset=onset)
        for bar in range(block.fill_bars)
        for hit in block.groove_hits(first + bar)
        for onset in [hit.onset + bar * block.meter.length]
        if any(start <= onset < end for start, end in spans)
    ]
    if not going_on:
        return fill, ""
    if fill.ostinato:
        return fill, "Groove goes on until it starts; with feet that keep going it stands alone."
    groove = struck_together(going_on)
    strokes: dict[Fraction, Stroke] = dict(groove)
    own = zip(fill.bar.sounded, fill.strokes, strict=True)
    strokes |= {note.onset: stroke for note, stroke in own}
    accents = {note.onset for note in fill.bar.sounded if note.accent}
    accents |= {onset for onset, stroke in groove.items() if stroke.dynamic == "accent"}
    rests = {
        event.onset
        for event in fill.bar.events()
        if event.rest and not any(start <= event.onset < end for start, end in spans)
    }
    rests |= {beat.onset for beat in meter.beats if any(a <= beat.onset < b for a, b in spans)}
    events = [Event(onset, accent=onset in accents) for onset in strokes]
    events += [Event(onset, rest=True) for onset in rests - strokes.keys()]
    try:
        bar = Bar.from_events(meter.one_bar.over(block.fill_bars), sorted(events))
    except BarError as error:
        return fill, f"The groove goes on until the fill starts, but cannot be written in: {error}"
    return Fill(bar, tuple(strokes[note.onset] for note in bar.sounded)), ""
