"""What is said after a take, and what to play again for it, as its page shows it."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from assignments.models import Take
from rhythms.engine import EngineError, Fill
from rhythms.engine.bars.feel import Feel
from rhythms.engine.fills.fill_part import FillPart
from rhythms.engine.takes import CLICK, FILE
from rhythms.engine.takes.advice import Advice, advise
from rhythms.engine.takes.advice_words import in_a_sentence
from rhythms.engine.takes.note_faults import TimesThrough
from rhythms.engine.takes.touch_levels import TouchLevels
from rhythms.notation.engraving.marking import marked
from rhythms.notation.player import fill_json
from rhythms.renderings.rendering_store import markup

#: How often the part comes round, unless it is stopped; and the least that is counted in, in beats.
TIMES_ROUND, COUNTED_IN = 8, 4


@dataclass(frozen=True)
class AdviceShown:
    """The sentence; and where there is a part to play again what the page's player takes: a block
    as JSON (`played`) and settings (`along`), with the fill's engraving, the part marked in it."""

    sentence: str
    played: str = ""
    along: str = ""
    what: str = ""
    drawing: SafeString | None = None


def advice_of(take: Take) -> AdviceShown | None:
    """Return what is to be said of a take of an assigned fill that was looked at; None of others,
    and of what was entered in the lesson, which has no time of its own.
    """
    found: dict[str, Any] = take.analysis or {}
    grid = found.get("grid")
    if take.variation is None or not grid or take.source == Take.Source.LESSON:
        return None
    fill, feel = take.variation.as_fill, Feel.from_json(found.get("feel"))
    by_click = grid["known"] in (CLICK, FILE) and not found.get("left")
    times = _times(take, fill, feel, found.get("attempts", []))
    advice = advise(times, grid["tempo"], told_by_a_click=by_click)
    if advice is None:
        return None
    sentence = in_a_sentence(advice, fill, take.variation.assignment.tempo)
    if advice.part is None:
        return AdviceShown(sentence)
    return AdviceShown(
        sentence,
        json.dumps(part_json(advice.part, feel) | {"tempo": advice.tempo}),
        json.dumps(_along(advice.part)),
        f"the part that is marked, at {advice.tempo}",
        _drawing(take, advice),
    )


def part_json(part: FillPart, feel: Feel) -> dict[str, Any]:
    """The part as a block of its own (see `block_json`), its strokes with the whole fill's numbers,
    so that they light up in the engraving of that."""
    block = fill_json(part.fill, feel)
    sounds = [
        sound | {"note": None if sound["note"] is None else sound["note"] + part.first}
        for sound in block["fill"]
    ]
    return block | {"fill": sounds}


def _along(part: FillPart) -> dict[str, Any]:
    beats = len(part.fill.bar.meter.beats)
    return {"loops": TIMES_ROUND, "countIn": ceil(COUNTED_IN / beats), "click": "beats"}


def _times(take: Take, fill: Fill, feel: Feel, attempts: Sequence[dict[str, Any]]) -> TimesThrough:
    played = TouchLevels.of([int(event[2]) for event in take.events])
    return TimesThrough(
        fill,
        attempts,
        take.jitter,
        feel,
        [_fill(kept) for kept in take.fills[: len(attempts)]],
        touch=played.varies,
    )


def _fill(kept: dict[str, Any]) -> Fill | None:
    try:
        return Fill.from_json(kept)
    except EngineError:
        return None


def _drawing(take: Take, advice: Advice) -> SafeString | None:
    """The fill's engraving, under an id of its own, the part and the notes in it marked."""
    variation = take.variation
    drawing = markup(variation.rendering) if variation else None
    if drawing is None or variation is None or advice.part is None:
        return None
    own = f"r{variation.rendering.key[:12]}"
    marks = [
        "again" if note in advice.notes else "around" if note in advice.part.notes else ""
        for note in range(len(variation.as_fill.strokes))
    ]
    drawn = marked(drawing.replace(own, f"advice{own}"), f"advice{own}", marks)
    return mark_safe(drawn)  # noqa: S308 - ours
