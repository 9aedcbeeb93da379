"""One voice as an MEI layer: notes, rests, beams, tuplets, ornaments, and the curves over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from rhythms.engine import Beat, Stroke, Surface
from rhythms.engine.bars.values import simple_value, written
from rhythms.engine.fills.fill import Hit
from rhythms.notation.hat_signs import CLOSED, sign_of
from rhythms.notation.layout.grouping import SymbolRange, Tuplet
from rhythms.notation.layout.parts import Part
from rhythms.notation.layout.symbols import NO_STROKE, Symbol
from rhythms.notation.staff_placement import HALF_OPEN, HANDS_VOICE, OPEN, PLACEMENTS, stem_of
from rhythms.notation.xml import Maker, etree

make = Maker("http://www.music-encoding.org/ns/mei")
#: The attribute of an id.
ID = "{http://www.w3.org/XML/1998/namespace}id"

#: Noteheads that MEI's ``head.shape`` names and the engraver draws.
_SHAPES = ("x", "diamond")
#: The signs above a hi-hat, as MEI writes them.
_SIGNS = {
    CLOSED: {"artic": "stop"},
    OPEN: {"artic": "open"},
    HALF_OPEN: {"glyph.auth": "smufl", "glyph.name": "brassMuteHalfClosed"},
}
#: The engraver has no triangle and no slash through a head: the note's ``type`` becomes the class
#: of its group, and the head is drawn there afterwards.
TRIANGLE, SLASHED = "triangle", "slashed"
_DURATIONS = {"whole": "1", "half": "2", "quarter": "4", "eighth": "8", "16th": "16", "32nd": "32"}
#: The side of the staff the stems of a voice point to, and the other.
_STEM_SIDE = {"up": "above", "down": "below"}
_HEAD_SIDE = {"up": "below", "down": "above"}
#: What an ornament puts on the stem.
_ON_THE_STEM = {"diddle": "1slash", "buzz": "z"}

MIDDLE_LINE = "4"
#: How far from there rests of a voice stand that shares the staff: a line and a space.
_ASIDE = 3

Group = tuple[SymbolRange, Tuplet | None]
#: A row of text under the staff: a word for each stroke, "" for none.
Row = tuple[str, ...]


#: Ends the id of what the feet play of a stroke that hands play too.
UNDER = "-feet"


def stroke_id(prefix: str, index: int) -> str:
    """The id of stroke number ``index`` in everything drawn with ``prefix``.

    Where hands play, feet beside them have it with UNDER behind.
    """
    return f"{prefix}-s{index}"


def head_id(of: str, surface: Surface) -> str:
    """The id of the head of ``surface`` in the chord with the id ``of``."""
    return f"{of}-{surface.replace(' ', '-')}"


class LayerWriter:
    """Writes one voice. ``layer()`` fills ``curves`` with its slurs and ties.

    ``signs`` has that above each stroke of the fill (`hat_signs`). In the beats of ``groove_beats``
    the groove goes on: slashes stand there for rests. ``crowded``: more than one other layer is on
    the staff.
    """

    def __init__(
        self,
        part: Part,
        prefix: str,
        rows: Sequence[Row],
        signs: Sequence[str],
        groove_beats: Sequence[Beat] = (),
    ) -> None:
        self.part = part
        self.prefix = prefix
        self.rows = rows
        self.signs = signs
        self.groove_beats = groove_beats
        self.crowded = False
        self.stem = stem_of(part.number)
        # Alone, ties keep clear of the stems; beside another voice, of its notes.
        self.tie_side = (_HEAD_SIDE if part.alone else _STEM_SIDE)[self.stem]
        self.curves: list[etree._Element] = []

    def layer(self) -> etree._Element:
        """The voice as one ``<layer>``."""
        groups: list[Group] = [(span, None) for span in self.part.beams]
        groups += [(tuplet.span, tuplet) for tuplet in self.part.tuplets]
        groups.sort(key=lambda group: (group[0].start - group[0].stop, group[1] is not None))
        everything = SymbolRange(0, len(self.part.symbols))
        return make("layer", {"n": str(self.part.number)}, *self._nested(everything, groups))

    def _nested(
        self, within: SymbolRange, groups: Sequence[Group], *, opened: bool = False
    ) -> Iterator[etree._Element]:
        """The symbols of a span, with the widest group that starts at each wrapped round it.

        Grace notes stand before a group they would open (``opened``: they are written
        already), or their stems would join its beam.
        """
        index = within.start
        while index < within.stop:
            if index > within.start or not opened:
                yield from self._graces(self.part.symbols[index])
            opening = [g for g in groups if g[0].start == index and within.holds(g[0])]
            if not opening:
                yield from self._slashes(self.part.symbols[index]) or [self._symbol(index)]
                index += 1
                continue
            span, tuplet = opening[0]
            inner = [group for group in groups if group is not opening[0]]
            children = self._nested(span, inner, opened=True)
            yield self._tuplet(tuplet, children) if tuplet else make("beam", None, *children)
            index = span.stop

    def _tuplet(self, tuplet: Tuplet, children: Iterator[etree._Element]) -> etree._Element:
        side = _STEM_SIDE[self.stem]
        marked = tuplet not in self.part.unmarked
        bracket = marked and tuplet.span not in self.part.beams
        look = {
            "num": str(tuplet.number),
            "numbase": str(tuplet.normal),
            "num.place": side,
            "num.visible": str(marked).lower(),
            "bracket.place": side,
            "bracket.visible": str(bracket).lower(),
        }
        return make("tuplet", look, *children)

    def _slashes(self, symbol: Symbol) -> list[etree._Element]:
        """A slash for each beat of groove that a rest fills; none for anything else."""
        beats = [
            beat
            for beat in self.groove_beats
            if symbol.onset <= beat.onset and beat.end <= symbol.end
        ]
        lasting = sum((beat.length for beat in beats), Fraction(0))
        if symbol.stroke is not None or symbol.hidden or lasting != symbol.length:
            return []
        look = {"loc": MIDDLE_LINE, "head.shape": "slash", "stem.visible": "false"}
        return [
            with_duration("note", Symbol(beat.onset, beat.length, value), look)
            for beat in beats
            if (value := simple_value(beat.length))
        ]

    # --- symbols ---------------------------------------------------------------------

    def _symbol(self, index: int) -> etree._Element:
        symbol = self.part.symbols[index]
        if symbol.stroke is None:
            return with_duration("space" if symbol.hidden else "rest", symbol, self._place(symbol))
        note = self._struck(symbol, symbol.stroke)
        if symbol.tied_to:
            self._tie(symbol, symbol.stroke)
        if index in self.part.inner_stops:
            note.set("breaksec", "1")
        return note

    def _place(self, rest: Symbol) -> dict[str, str]:
        """Of two voices the engraver keeps rests apart; beside more it loses its way."""
        if rest.hidden or not (self.part.alone or self.crowded):
            return {}
        line = int(MIDDLE_LINE)
        if not self.part.alone:
            line += _ASIDE if self.part.number == HANDS_VOICE else -_ASIDE
        # A whole rest hangs from the line above.
        return {"loc": str(line + 2 * (rest.value == "whole"))}

    def _struck(self, symbol: Symbol, stroke: Stroke) -> etree._Element:
        """A note, or a chord of what is struck together, with its signs and words."""
        own, (alone, *beside) = self._own_id(symbol), stroke.hits
        if beside:
            struck = with_duration("chord", symbol, {ID: own, "stem.dir": self.stem})
            names = self._head_ids(symbol, stroke)
            struck.extend(
                make("note", _head_of(hit) | {ID: name})
                for hit, name in zip(stroke.hits, names, strict=True)
            )
        else:
            struck = with_duration("note", symbol, _head_of(alone) | {ID: own})
        if symbol.attack:
            self._dress(struck, symbol, stroke)
        return struck

    def _dress(self, struck: etree._Element, symbol: Symbol, stroke: Stroke) -> None:
        if sign := _ON_THE_STEM.get(stroke.ornament or ""):
            struck.set("stem.mod", sign)
        if any(hit.dynamic == "accent" for hit in stroke.hits):
            struck.append(make("artic", {"artic": "acc", "place": _STEM_SIDE[self.stem]}))
        for hit in stroke.hits:
            sign = self.signs[symbol.index] if symbol.index != NO_STROKE else ""
            struck.extend(_sign(sign_of(hit, sign)))
        for number, row in enumerate(self.rows if symbol.named else (), start=1):
            if row[symbol.index]:
                struck.append(syllable(number, row[symbol.index]))

    def _own_id(self, symbol: Symbol) -> str:
        if symbol.index == NO_STROKE:
            return f"{self.prefix}-at-{symbol.onset}".replace("/", "-")
        own = stroke_id(self.prefix, symbol.index) + (UNDER if symbol.under else "")
        return own if symbol.attack else f"{own}-at-{symbol.onset}".replace("/", "-")

    def _head_ids(self, symbol: Symbol, stroke: Stroke) -> list[str]:
        own = self._own_id(symbol)
        if not stroke.beside:
            return [own]
        return [head_id(own, hit.surface) for hit in stroke.hits]

    # --- ornaments and curves --------------------------------------------------------

    def _graces(self, symbol: Symbol) -> Iterator[etree._Element]:
        """A flam's one grace note or a drag's two, slurred to the main note."""
        stroke, main = symbol.stroke, self._own_id(symbol)
        if stroke is None or symbol.tied_from or stroke.ornament not in ("flam", "drag"):
            return
        if stroke.ornament == "flam":
            yield self._grace(stroke, main, 0, {"dur": "8", "stem.mod": "1slash", "stem.len": "4"})
        else:
            pair = [self._grace(stroke, main, number, {"dur": "16"}) for number in range(2)]
            yield make("graceGrp", {"grace": "unacc"}, make("beam", None, *pair))
        self._curve("slur", f"{main}-g0", main, _HEAD_SIDE[self.stem])

    def _grace(
        self, stroke: Stroke, main: str, number: int, look: dict[str, str]
    ) -> etree._Element:
        own = {ID: f"{main}-g{number}", "grace": "unacc"}
        return make("note", _head(stroke.surface) | own | look)

    def _tie(self, symbol: Symbol, stroke: Stroke) -> None:
        """Each head to the symbol that continues it, which may be in the next bar."""
        after = replace(symbol, onset=symbol.end, tied_from=True)
        ends = self._head_ids(symbol, stroke), self._head_ids(after, stroke)
        for start, end in zip(*ends, strict=True):
            self._curve("tie", start, end, self.tie_side)

    def _curve(self, name: str, start: str, end: str, side: str) -> None:
        ends = {"startid": f"#{start}", "endid": f"#{end}", "curvedir": side}
        self.curves.append(make(name, ends))


def legend_note(surface: Surface) -> etree._Element:
    """A head of the surface, without a stem."""
    look = {"dur": _DURATIONS["quarter"], "stem.visible": "false"}
    return make("note", _head(surface) | look, *_sign(PLACEMENTS[surface].sign))


def _head(surface: Surface) -> dict[str, str]:
    placement = PLACEMENTS[surface]
    head = {"loc": str(placement.loc), "stem.dir": placement.stem}
    if placement.head in (TRIANGLE, SLASHED):
        return head | {"type": placement.head}
    return head | {"head.shape": placement.head} if placement.head in _SHAPES else head


def _sign(name: str) -> Iterator[etree._Element]:
    if name:
        yield make("artic", {"place": "above"} | _SIGNS[name])


def _head_of(hit: Hit) -> dict[str, str]:
    return _head(hit.surface) | ({"head.mod": "paren"} if hit.dynamic == "ghost" else {})


def with_duration(name: str, symbol: Symbol, look: dict[str, str] | None = None) -> etree._Element:
    """An element that lasts as long as the symbol is written."""
    value, dots = written(symbol.value)
    duration = {"dur": _DURATIONS[value]} | ({"dots": str(dots)} if dots else {})
    return make(name, duration | (look or {}))


def syllable(row: int, word: str) -> etree._Element:
    """A word under a note, in the row of this number, from 1."""
    return make("verse", {"n": str(row)}, make("syl", None, word))
