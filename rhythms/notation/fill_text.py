"""A fill in words, for whoever hears the page instead of seeing it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rhythms.engine import Bar, Beat, Fill, Meter, Stroke
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.spoken_counts import count_labels
from rhythms.engine.errors import NotCountableError
from rhythms.engine.fills.fill import Hit
from rhythms.engine.kits.surfaces import called

#: What stands over bars that are left open to the player.
ANSWER = "Your answer"


def answer_begins(bar: Bar, number: int) -> bool:
    """Whether what is left open begins with bar ``number`` of it, counted from 0."""
    return number * bar.meter.bar_length == bar.open_from


def title(fill: Fill) -> str:
    """``4/4, 16 strokes``."""
    number = len(fill.strokes)
    return f"{fill.bar.meter}, {number} stroke{'' if number == 1 else 's'}"


def description(fill: Fill, *, groove: bool = True, feel: Feel = STRAIGHT) -> str:
    """The bar as it is counted, with surfaces: ``1 snare (R), & snare (L, accent), 2 rest``.

    ``groove``: what goes on up to a late fill; else it is rests. A feel comes first, and what the
    feet keep playing last.
    """
    going_on = fill.bar.groove_beats if groove else ()
    opens = fill.bar.meter.opens_at
    starts = [(n.onset, n.rest) for n in fill.bar.notes if not n.tie and n.onset >= opens]
    labels = spoken_counts(tuple(onset for onset, _ in starts), fill.bar.meter)
    strokes = iter(fill.strokes)
    answer = [] if fill.bar.open_from is None else ["then your answer"]
    parts = (
        f"{label} {_silence(onset, going_on) if rest else stroke_in_words(next(strokes))}".strip()
        for label, (onset, rest) in zip(labels, starts, strict=True)
        if onset < fill.bar.written_end
    )
    heard = feel.in_meter(fill.bar.meter)
    before = "" if heard.is_straight else f"{heard.in_full.capitalize()}: "
    after = (
        f"; the feet keep going: {fill.ostinato.name}" if fill.going_on and fill.ostinato else ""
    )
    return f"{before}{', '.join([*parts, *answer])}{after}"


def _silence(onset: Fraction, going_on: Sequence[Beat]) -> str:
    return "groove" if any(beat.onset <= onset < beat.end for beat in going_on) else "rest"


def stroke_in_words(stroke: Stroke) -> str:
    """``floor tom (R, accent, flam)``; ``crash (R, accent) with bass drum``."""
    first, *beside = stroke.hits
    return " with ".join((_hit(first, stroke.ornament), *map(_hit, beside)))


def _hit(hit: Hit, ornament: str | None = None) -> str:
    dynamic = None if hit.dynamic == "normal" else hit.dynamic
    hand = None if hit.by_foot else hit.limb
    details = ", ".join(detail for detail in (hand, dynamic, ornament) if detail)
    return f"{called(hit.surface)} ({details})" if details else called(hit.surface)


def spoken_counts(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """What is counted at each onset; in a beat finer than counting goes, only its number."""
    labels: list[str] = []
    for beat in meter.written_beats:
        inside = tuple(onset for onset in onsets if beat.onset <= onset < beat.end)
        try:
            labels += count_labels(inside, meter)
        except NotCountableError:
            labels += [str(beat.number) if onset == beat.onset else "then" for onset in inside]
    return tuple(labels)
