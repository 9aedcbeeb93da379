"""The sign over swung notes: two even ones = the long and the short one of a triplet.

Common practice has this sign for every swing; what is no triplet has its word or number beside it.
The engraver draws its notes, and they are set, small, over the bar.
"""

from __future__ import annotations

from functools import lru_cache

from rhythms.engine.bars.feel import EIGHTHS, SIXTEENTHS, WORDS, Feel
from rhythms.notation.engraving.cleaning import Heading, layer_alone
from rhythms.notation.engraving.drawn import SVG
from rhythms.notation.engraving.engraver import engrave
from rhythms.notation.engraving.mei import one_layer_mei
from rhythms.notation.engraving.mei_layer import MIDDLE_LINE
from rhythms.notation.engraving.mei_layer import make as mei
from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
#: MEI's durations, by what swings: the short note, and the one twice as long.
_DURATIONS = {EIGHTHS: ("8", "4"), SIXTEENTHS: ("16", "8")}
#: In the engraver's units: four notes close together, room for the sign “=” between them.
_WIDTH = 255
#: In tenths of them, as drawn: where the heads stand, how wide one is, and from top to foot.
_LINE, _HEAD, _TOP, _FOOT = 906, 235, -20, 1010
#: The sign “=”: its width, half the distance of its lines, and their thickness.
_EQUALS, _APART, _INK = 230, 45, 34
_LETTERS, _TO_A_LETTER = 400, 330
#: How wide one is at most, in parts of its height.
_A_LETTER = 0.7
_SCALE, _AIR = 0.75, 90


def swing_sign(feel: Feel) -> Heading | None:
    """The sign of a feel, to be set over a bar; None for a straight one. Raises EngravingError."""
    if feel.is_straight:
        return None
    notes = etree.fromstring(_notes(feel.unit))
    heads = _heads(notes)
    notes.append(_equals((heads[1] + heads[2] + _HEAD) // 2))
    said = WORDS.get(feel.swing, f"{feel.swing} %")
    right = heads[3] + _HEAD + _TO_A_LETTER
    if said != "triplet":
        notes.append(_word(said, right))
        right += round(_A_LETTER * _LETTERS * len(said))
    notes.set("transform", f"translate({-_SCALE * heads[0]:g}, {-_SCALE * _TOP:g}) scale({_SCALE})")
    width, height = _SCALE * (right - heads[0]), _SCALE * (_FOOT - _TOP)
    return Heading(_make("g", None, notes), round(width), round(height) + _AIR)


@lru_cache(maxsize=len(_DURATIONS))
def _notes(unit: str) -> str:
    """The notes of the sign as a group; as text, since threads share it."""
    short, long = _DURATIONS[unit]
    even = mei("beam", None, _note(short), _note(short))
    look = {"num": "3", "numbase": "2", "num.place": "above", "bracket.place": "above"}
    uneven = mei("tuplet", look | {"bracket.visible": "true"}, _note(long), _note(short))
    room = mei("space", {"dur": long})
    return to_text(layer_alone(engrave(one_layer_mei(even, room, uneven), _WIDTH)))


def _note(duration: str) -> etree._Element:
    return mei("note", {"dur": duration, "loc": MIDDLE_LINE, "stem.dir": "up"})


def _heads(notes: etree._Element) -> list[int]:
    """Where each head begins, from left to right."""
    places = (group.get("transform", "") for group in notes.iter(f"{SVG}g"))
    found = (place.removeprefix("translate(").partition(")")[0].split(", ") for place in places)
    return sorted(int(x) for x, *y in found if y == [str(_LINE)])


def _equals(middle: int) -> etree._Element:
    left, right = middle - _EQUALS // 2, middle + _EQUALS // 2
    lines = " ".join(f"M{left} {_LINE + y} L{right} {_LINE + y}" for y in (-_APART, _APART))
    return _make("path", {"d": lines, "stroke": "currentColor", "stroke-width": str(_INK)})


def _word(said: str, x: int) -> etree._Element:
    """What is no triplet says so, behind the last flag."""
    y = _LINE + _LETTERS // 4
    return _make("text", {"x": str(x), "y": str(y), "font-size": str(_LETTERS)}, said)
