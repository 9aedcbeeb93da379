"""The sign over swung notes in MusicXML, and the ratio that a program plays by it."""

from __future__ import annotations

from collections.abc import Iterator

from rhythms.engine.bars.feel import EIGHTHS, SIXTEENTHS, Feel
from rhythms.notation.export.musicxml_note import make
from rhythms.notation.xml import etree

#: By what swings: the note that it is, and the one twice as long.
_NOTES = {EIGHTHS: ("eighth", "quarter"), SIXTEENTHS: ("16th", "eighth")}
_BEAMS = {EIGHTHS: 1, SIXTEENTHS: 2}


def feel_direction(feel: Feel) -> Iterator[etree._Element]:
    """Two even notes = long and short of a triplet, with its words; nothing for a straight one."""
    if feel.is_straight:
        return
    kinds = [make("direction-type", None, make("words", None, feel.words.capitalize()))]
    kinds.append(make("direction-type", None, _sign(feel)))
    sound = make("sound", None, _swing(feel))
    yield make("direction", {"placement": "above"}, *kinds, sound)


def _sign(feel: Feel) -> etree._Element:
    short, long = _NOTES[feel.unit]
    even = [_note(short, _beams(feel, place)) for place in ("begin", "end")]
    uneven = [_note(long, [_triplet("start", short)]), _note(short, [_triplet("stop", short)])]
    relation = make("metronome-relation", None, "equals")
    return make("metronome", {"parentheses": "no"}, *even, relation, *uneven)


def _note(value: str, marks: list[etree._Element]) -> etree._Element:
    return make("metronome-note", None, make("metronome-type", None, value), *marks)


def _beams(feel: Feel, place: str) -> list[etree._Element]:
    levels = range(1, _BEAMS[feel.unit] + 1)
    return [make("metronome-beam", {"number": str(level)}, place) for level in levels]


def _triplet(place: str, value: str) -> etree._Element:
    look = {"bracket": "yes", "show-number": "actual"} if place == "start" else {}
    numbers = make("actual-notes", None, "3"), make("normal-notes", None, "2")
    return make(
        "metronome-tuplet", {"type": place, **look}, *numbers, make("normal-type", None, value)
    )


def _swing(feel: Feel) -> etree._Element:
    """The ratio in the smallest whole numbers, as the standard asks for."""
    share = feel.share
    first, second = share.numerator, share.denominator - share.numerator
    return make(
        "swing",
        None,
        make("first", None, str(first)),
        make("second", None, str(second)),
        make("swing-type", None, _NOTES[feel.unit][0]),
    )
