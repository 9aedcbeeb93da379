"""A bar's count line, written along with its notes.

Notes alone do not say everything of a bar: a MIDI file holds no rests, and where hands and feet
have a voice each, rests are joined. The count line says how silence is divided; whoever reads
it takes nothing else from it.
"""

from __future__ import annotations

import re

from rhythms.engine import Bar
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import BarError, EngineError, NotCountableError

#: The name of the field in MusicXML, and how the text begins in MIDI.
NAME = "count line"
_PREFIX = f"{NAME}: "
_LINE = re.compile(r"(?P<meter>\S+( \(\d+(\+\d+)+\))?) (?P<counts>.*)", re.DOTALL)


def count_line(bar: Bar) -> str:
    """``4/4 1 & 2 (3) 4``, ``7/8 (3+2+2) 1 4 6``; "" for a bar finer than counting goes."""
    try:
        return f"{bar.meter} {bar.counts()}"
    except NotCountableError:
        return ""


def count_line_text(bar: Bar, *, moved: bool = False) -> str:
    """The count line as a text that says what it is; "" where strokes say it all, or none is.

    Strokes that are ``moved``, as by swing, do not say it.
    """
    line = count_line(bar) if moved or has_more_than_strokes(bar) else ""
    return _PREFIX + line if line else ""


def has_more_than_strokes(bar: Bar) -> bool:
    """Whether the moments of its strokes alone do not give the bar.

    Told from that, a note lasts to the next one or to the end of its beat, and each beat
    begins with a note or a rest. Neither its groups nor a pick-up are told by moments, nor that
    two bars are one fill.
    """
    if bar.meter.groups or bar.meter.pickup or bar.meter.bars > 1:
        return True
    accents = {note.onset: note.accent for note in bar.sounded}
    onsets = accents.keys() | {beat.onset for beat in bar.meter.beats}
    events = [
        Event(onset, onset not in accents, accents.get(onset, False)) for onset in sorted(onsets)
    ]
    try:
        return Bar.from_events(bar.meter, events) != bar
    except BarError:
        return True


def bar_of_line(line: str) -> Bar | None:
    """The inverse of ``count_line``; None for anything else."""
    parts = _LINE.fullmatch(line)
    try:
        return Bar.from_counts(parts["counts"], parts["meter"]) if parts else None
    except EngineError:
        return None


def bar_of_text(text: str) -> Bar | None:
    """The inverse of ``count_line_text``; None for anything else."""
    return bar_of_line(text.removeprefix(_PREFIX)) if text.startswith(_PREFIX) else None
