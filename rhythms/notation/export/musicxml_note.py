"""One symbol of a voice as a MusicXML note, its children in the order the schema asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import lcm

from rhythms.engine import Meter, Stroke, Surface
from rhythms.engine.bars.values import LENGTHS, simple_value, written
from rhythms.engine.fills.fill import HANDS, Hit, other_hand
from rhythms.notation.export.beam_levels import beam_levels
from rhythms.notation.hat_signs import CLOSED, sign_of
from rhythms.notation.layout.grouping import Tuplet
from rhythms.notation.layout.parts import Part
from rhythms.notation.layout.symbols import NO_STROKE, Symbol
from rhythms.notation.staff_placement import HALF_OPEN, OPEN, PLACEMENTS, from_the_top, stem_of
from rhythms.notation.xml import Maker, etree

make = Maker()

#: Divisions of a quarter: every value class is a whole number of them.
DIVISIONS = lcm(*(length.denominator for length in LENGTHS.values()))
#: Which graces go before a stroke: their type, and whether a line strikes them through.
_GRACES = {"flam": (("eighth", "yes"),), "drag": (("16th", "no"), ("16th", "no"))}
#: The element of each sign above a note, and the picture that is meant.
_SIGNS = {
    CLOSED: ("stopped", {"smufl": "brassMuteClosed"}),
    OPEN: ("open", {"smufl": "brassMuteOpen"}),
    HALF_OPEN: ("half-muted", {"smufl": "pictHalfOpen2"}),
}

#: What is drawn on the stem: the type, and how many strokes; an unmeasured one, a buzz, has none.
_TREMOLOS = {"diddle": ("single", "1"), "buzz": ("unmeasured", "0")}


def instrument_id(surface: Surface) -> str:
    """The id of a surface's instrument within the part, by its MIDI key; two hi-hats share one."""
    row = PLACEMENTS[surface]
    return f"P1-I{row.key}{'-half' if row.sign == HALF_OPEN else ''}"


class VoiceWriter:
    """Writes the notes and rests of one voice, with its grace notes.

    ``signs`` has that above each stroke of the fill (`hat_signs`). What `ids` is goes before each
    stroke's number, where a file has several fills.
    """

    def __init__(self, part: Part, meter: Meter, signs: Sequence[str], ids: str = "") -> None:
        self.part = part
        self.signs = signs
        self.ids = ids
        self.stem = stem_of(part.number)
        self.levels = beam_levels(part, meter)

    def notes(self) -> Iterator[etree._Element]:
        """The voice from the start of the bar to its end."""
        for index, symbol in enumerate(self.part.symbols):
            if symbol.stroke is None:
                yield self._rest(index, symbol)
                continue
            if not symbol.tied_from:
                yield from self._graces(symbol.stroke)
            yield from self._struck(index, symbol, symbol.stroke)

    def _rest(self, index: int, symbol: Symbol) -> etree._Element:
        look = {"print-object": "no"} if symbol.hidden else {}
        notations = _notations(*self._tuplet_marks(index))
        return make("note", look, make("rest"), *self._time(index, symbol), *notations)

    def _struck(self, index: int, symbol: Symbol, stroke: Stroke) -> Iterator[etree._Element]:
        """One note for each hit; those after the first are of its chord, and bear no beam."""
        ties = [kind for kind, is_so in _ties(symbol) if is_so]
        rows = {hit: row for row, hit in enumerate(from_the_top(stroke.hand_hits), start=1)}
        for number, hit in enumerate(stroke.hits):
            marks = [make("tied", {"type": kind}) for kind in ties]
            if number == 0:
                marks += self._tuplet_marks(index)
            if symbol.attack:
                marks += _marks(hit, stroke.ornament, sign_of(hit, self.signs[symbol.index]))
            yield make(
                "note",
                self._id(symbol, number),
                *([make("chord")] if number else ()),
                _unpitched(hit.surface),
                *self._time(index, symbol, hit.surface, ties),
                make("stem", None, self.stem),
                _notehead(hit),
                *_beams(() if number else self.levels[index]),
                *_notations(*marks),
                *(_lyric(hit.limb, rows.get(hit, 1)) if symbol.attack else ()),
            )

    def _id(self, symbol: Symbol, number: int) -> dict[str, str]:
        """That of a stroke's first hit is the stroke's; feet that only keep going have none."""
        if not symbol.attack or symbol.index == NO_STROKE:
            return {}
        own = f"{self.ids}s{symbol.index}{'-feet' if symbol.under else ''}"
        return {"id": f"{own}-{number}" if number else own}

    def _time(
        self, index: int, symbol: Symbol, surface: Surface | None = None, ties: Sequence[str] = ()
    ) -> Iterator[etree._Element]:
        """From the duration to the time modification."""
        value, dots = written(symbol.value)
        yield _text("duration", symbol.length * DIVISIONS)
        yield from (make("tie", {"type": kind}) for kind in ties)
        if surface is not None:
            yield make("instrument", {"id": instrument_id(surface)})
        yield _text("voice", self.part.number)
        yield make("type", None, value)
        yield from (make("dot") for _ in range(dots))
        for tuplet in self.part.tuplets:
            if tuplet.span.start <= index < tuplet.span.stop:
                yield _time_modification(tuplet, value)

    def _tuplet_marks(self, index: int) -> list[etree._Element]:
        return [
            make("tuplet", {"type": kind, **(self._tuplet_look(tuplet) if kind == "start" else {})})
            for tuplet in self.part.tuplets
            for kind, at in (("start", tuplet.span.start), ("stop", tuplet.span.stop - 1))
            if at == index
        ]

    def _tuplet_look(self, tuplet: Tuplet) -> dict[str, str]:
        if tuplet in self.part.unmarked:
            return {"bracket": "no", "show-number": "none"}
        return {"bracket": "no" if tuplet.span in self.part.beams else "yes"}

    def _graces(self, stroke: Stroke) -> Iterator[etree._Element]:
        kinds = _GRACES.get(stroke.ornament or "", ())
        for number, (value, slash) in enumerate(kinds):
            place = "begin" if number == 0 else "end"
            slur = _notations(make("slur", {"type": "start"})) if number == 0 else ()
            yield make(
                "note",
                None,
                make("grace", {"slash": slash}),
                _unpitched(stroke.surface),
                make("instrument", {"id": instrument_id(stroke.surface)}),
                _text("voice", self.part.number),
                make("type", None, value),
                make("stem", None, self.stem),
                make("notehead", None, PLACEMENTS[stroke.surface].head),
                *_beams([place] * 2 if len(kinds) > 1 else ()),
                *slur,
                *_lyric(stroke.limb, grace=True),
            )


def _text(name: str, number: object) -> etree._Element:
    return make(name, None, str(number))


def _unpitched(surface: Surface) -> etree._Element:
    row = PLACEMENTS[surface]
    step, octave = make("display-step", None, row.step), _text("display-octave", row.octave)
    return make("unpitched", None, step, octave)


def _notehead(hit: Hit) -> etree._Element:
    look = {"parentheses": "yes"} if hit.dynamic == "ghost" else None
    return make("notehead", look, PLACEMENTS[hit.surface].head)


def _ties(symbol: Symbol) -> tuple[tuple[str, bool], ...]:
    return ("stop", symbol.tied_from), ("start", symbol.tied_to)


def _time_modification(tuplet: Tuplet, value: str) -> etree._Element:
    """``normal-type``, the value the tuplet is counted in, where the note itself is another."""
    unit = simple_value((tuplet.end - tuplet.onset) / tuplet.normal)
    parts = [_text("actual-notes", tuplet.number), _text("normal-notes", tuplet.normal)]
    if unit is not None and unit != value:
        parts.append(make("normal-type", None, unit))
    return make("time-modification", None, *parts)


def _beams(levels: Sequence[str]) -> Iterator[etree._Element]:
    for number, word in enumerate(levels, start=1):
        yield make("beam", {"number": str(number)}, word)


def _marks(hit: Hit, ornament: str | None, sign: str) -> Iterator[etree._Element]:
    if ornament in _GRACES:
        yield make("slur", {"type": "stop"})
    if tremolo := _TREMOLOS.get(ornament or ""):
        kind, strokes = tremolo
        yield make("ornaments", None, make("tremolo", {"type": kind}, strokes))
    if sign:
        yield make("technical", None, make(*_SIGNS[sign]))
    if hit.dynamic == "accent":
        yield make("articulations", None, make("accent"))


def _notations(*marks: etree._Element) -> tuple[etree._Element, ...]:
    return (make("notations", None, *marks),) if marks else ()


def _lyric(limb: str | None, row: int = 1, *, grace: bool = False) -> Iterator[etree._Element]:
    """R or L, the other hand for a ``grace`` note; of two hands, each in a row of its own.

    The standard has no sticking element; a lyric stays straight under the staff.
    """
    if limb in HANDS:
        played = other_hand(str(limb)) if grace else limb
        words = make("syllabic", None, "single"), make("text", None, played)
        yield make("lyric", {"number": str(row), "placement": "below"}, *words)
