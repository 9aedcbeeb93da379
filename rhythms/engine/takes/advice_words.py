"""Advice after a take, in a teacher's sentence: what came, and what to play next."""

from __future__ import annotations

import re

from rhythms.engine.bars.spoken_counts import place_names
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import called
from rhythms.engine.takes.advice import (
    AHEAD,
    ALL_CAME,
    BEHIND,
    FEET,
    NO_ONE_PLACE,
    ONCE,
    TOO_FAST,
    UNEVEN,
    Advice,
)
from rhythms.engine.takes.note_faults import (
    ACCENT_LOST,
    EARLY,
    GHOST_LOUD,
    LATE,
    LEFT_OUT,
    OTHER_DRUM,
    TOO_MUCH,
)

_PLACE = re.compile(r"(?:(?P<bar>pick-up|bar \d+), )?(?P<number>\d+) ?(?P<between>.*)")


def in_a_sentence(advice: Advice, fill: Fill, goal: int | None = None) -> str:
    """``The & of 3 and the a of 3 came late in 3 of 4: play just these two, at 66, until they
    sit.`` ``goal`` is the tempo that was asked for, after which comes the next fill.
    """
    if advice.kind in _ON_THE_WHOLE:
        return _ON_THE_WHOLE[advice.kind](advice, goal)
    where = " and ".join(place(fill, note) for note in advice.notes)
    two = len(advice.notes) > 1
    times = f"in {advice.times} of {advice.of}"
    said, until = _AT_NOTES[advice.kind](advice, fill, two)
    just = "just these two" if two else "just the notes around it"
    sentence = f"{said.format(where=where)} {times}: play {just}, at {advice.tempo}, {until}."
    return sentence[0].upper() + sentence[1:]


def place(fill: Fill, note: int) -> str:
    """``beat 3``, ``the & of 3``, ``the e of 2 in bar 2``; ``note 5`` where it is not counted."""
    onsets = tuple(sounded.onset for sounded in fill.bar.sounded)
    found = _PLACE.fullmatch(place_names(onsets, fill.bar.meter)[note])
    if found is None:
        return f"note {note + 1}"
    bar = f" in the {found['bar']}" if found["bar"] == "pick-up" else ""
    bar = bar or (f" in {found['bar']}" if found["bar"] else "")
    if found["between"]:
        return f"the {found['between']} of {found['number']}{bar}"
    return f"{'count' if fill.bar.meter.in_eighths else 'beat'} {found['number']}{bar}"


def _left_out(advice: Advice, fill: Fill, two: bool) -> tuple[str, str]:
    what = f"the {called(advice.drum)} on {{where}}" if advice.drum else "{where}"
    were, there = ("were", "they are there") if two else ("was", "it is there")
    return f"{what} {were} left out", f"until {there}"


def _late(advice: Advice, fill: Fill, two: bool) -> tuple[str, str]:
    when = "late" if advice.kind == LATE else "early"
    return f"{{where}} came {when}", f"until {'they sit' if two else 'it sits'}"


def _other_drum(advice: Advice, fill: Fill, two: bool) -> tuple[str, str]:
    drums = f"the {called(advice.played)} instead of the {called(advice.drum)}"
    return f"{{where}} went to {drums}", f"until {'they land' if two else 'it lands'}"


def _too_much(advice: Advice, fill: Fill, two: bool) -> tuple[str, str]:
    what = f"one stroke too much came on the {called(advice.played)}"
    return f"after {{where}} {what}", "and count aloud"


def _accent(advice: Advice, fill: Fill, two: bool) -> tuple[str, str]:
    accents = "the accents on {where} were" if two else "the accent on {where} was"
    return f"{accents} no louder than the rest", "with the others softer"


def _ghost(advice: Advice, fill: Fill, two: bool) -> tuple[str, str]:
    ghosts = "the ghost notes on" if two else "the ghost note on"
    return f"{ghosts} {{where}} came loud", "from a low stick"


_AT_NOTES = {
    LEFT_OUT: _left_out,
    LATE: _late,
    EARLY: _late,
    OTHER_DRUM: _other_drum,
    TOO_MUCH: _too_much,
    ACCENT_LOST: _accent,
    GHOST_LOUD: _ghost,
}


def _once(advice: Advice, goal: int | None) -> str:
    came = "All of it came, once" if advice.times else "Once through says little"
    return f"{came}: play it four times in one take, at {advice.tempo}."


def _all_came(advice: Advice, goal: int | None) -> str:
    came = f"All of it came, {advice.times} of {advice.of} times, within {advice.amount:.0f} ms"
    if goal is not None and advice.tempo > goal:
        return f"{came}, at the tempo that was asked for: on to another fill."
    return f"{came}: take it to {advice.tempo}."


def _no_one_place(advice: Advice, goal: int | None) -> str:
    return (
        f"All of it came {advice.times} of {advice.of} times, and no one place stands out: "
        f"once more at {advice.tempo}."
    )


def _too_fast(advice: Advice, goal: int | None) -> str:
    return (
        f"About {round(10 * advice.amount)} of 10 notes came: play its first half, at "
        f"{advice.tempo}, until all of it is there, then the second."
    )


def _run(advice: Advice, goal: int | None) -> str:
    how = "ran ahead" if advice.kind == AHEAD else "fell behind"
    return (
        f"It {how} in {advice.times} of {advice.of}, by about {10 * round(advice.amount / 10)} ms "
        f"to the end: play its second half, at {advice.tempo}, and count aloud."
    )


def _uneven(advice: Advice, goal: int | None) -> str:
    return (
        f"The strokes spread by {advice.amount:.0f} ms: play it at {advice.tempo}, "
        "until they run evenly."
    )


def _feet(advice: Advice, goal: int | None) -> str:
    return (
        f"The feet kept going for about {round(10 * advice.amount)} of 10 strokes: play it at "
        f"{advice.tempo}, and begin with the feet alone."
    )


_ON_THE_WHOLE = {
    ONCE: _once,
    ALL_CAME: _all_came,
    NO_ONE_PLACE: _no_one_place,
    TOO_FAST: _too_fast,
    AHEAD: _run,
    BEHIND: _run,
    UNEVEN: _uneven,
    FEET: _feet,
}
