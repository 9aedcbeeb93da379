"""Fills as MusicXML 4.0, for any notation program."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from rhythms.engine import Bar, Fill, Meter, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.notation.count_line_text import NAME, count_line
from rhythms.notation.export.musicxml_feel import feel_direction
from rhythms.notation.export.musicxml_note import DIVISIONS, VoiceWriter, instrument_id, make
from rhythms.notation.export.smf import DRUM_CHANNEL
from rhythms.notation.fill_text import ANSWER, answer_begins, title
from rhythms.notation.hat_signs import hat_signs
from rhythms.notation.layout.parts import Part, measures
from rhythms.notation.staff_placement import PLACEMENTS
from rhythms.notation.xml import etree, to_text

#: Changes whenever the same fill would be written differently.
MUSICXML_VERSION = "musicxml-5"

_OPENING = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    ' "http://www.musicxml.org/dtds/partwise.dtd">\n'
)


def musicxml(fill: Fill, feel: Feel = STRAIGHT) -> str:
    """The fill as a file of one part, a measure for each bar, to be stored in UTF-8.

    A feel is a sign over its first bar. It holds no date, so the same fill gives the same text.
    """
    return _score(title(fill), [fill], _signed(_measures(fill), fill, feel))


def musicxml_of_all(fills: Mapping[str, Fill], name: str, feel: Feel = STRAIGHT) -> str:
    """Fills of one bar as a file of one part: under its words, each has a line.

    Raises ValueError where there are none, or of different bars.
    """
    bars = {fill.bar for fill in fills.values()}
    if len(bars) != 1:
        raise ValueError(f"one bar is needed, not {len(bars)}")
    written: list[etree._Element] = []
    for number, (words, fill) in enumerate(fills.items(), 1):
        written += _measures(fill, len(written) + 1, words, f"m{number}-")
    return _score(name, [*fills.values()], _signed(written, fill, feel))


def _signed(written: Iterable[etree._Element], fill: Fill, feel: Feel) -> Iterator[etree._Element]:
    """The measures, the first with the sign of the feel before its notes."""
    for number, measure in enumerate(written):
        if number == 0:
            before = measure.index(next(measure.iter("direction", "note")))
            measure[before:before] = feel_direction(feel.in_meter(fill.bar.meter))
        yield measure


def _score(name: str, fills: Sequence[Fill], measures: Iterable[etree._Element]) -> str:
    score = make(
        "score-partwise",
        {"version": "4.0"},
        make("work", None, make("work-title", None, name)),
        make("identification", None, *_identification(fills[0].bar)),
        make("part-list", None, _score_part(fills)),
        make("part", {"id": "P1"}, *measures),
    )
    etree.indent(score)
    return f"{_OPENING}{to_text(score)}\n"


def _identification(bar: Bar) -> Iterator[etree._Element]:
    yield make("encoding", None, make("software", None, "Fillwright"))
    if line := count_line(bar):
        yield make("miscellaneous", None, make("miscellaneous-field", {"name": NAME}, line))


def _score_part(fills: Sequence[Fill]) -> etree._Element:
    used = {surface for fill in fills for surface in fill.surfaces}
    surfaces = [surface for surface in PLACEMENTS if surface in used]
    return make(
        "score-part",
        {"id": "P1"},
        make("part-name", {"print-object": "no"}, "Drum set"),
        *(_instrument(surface) for surface in surfaces),
        *(_midi_instrument(surface) for surface in surfaces),
    )


def _instrument(surface: Surface) -> etree._Element:
    name = make("instrument-name", None, PLACEMENTS[surface].name)
    return make("score-instrument", {"id": instrument_id(surface)}, name)


def _midi_instrument(surface: Surface) -> etree._Element:
    """Channels and keys count from 1 here."""
    channel = make("midi-channel", None, str(DRUM_CHANNEL + 1))
    key = make("midi-unpitched", None, str(PLACEMENTS[surface].key + 1))
    return make("midi-instrument", {"id": instrument_id(surface)}, channel, key)


def _measures(
    fill: Fill, first: int = 1, words: str = "", ids: str = ""
) -> Iterator[etree._Element]:
    """With words, the fill is one of several: it stands on a line of its own."""
    bars = measures(fill)
    short = bool(fill.bar.meter.pickup)
    for number, parts in enumerate(bars, first):
        opens, closes = number == first, number == first + len(bars) - 1
        start = [make("print", {"new-system": "yes"})] if opens and first > 1 else []
        signs = [_attributes(fill.bar.meter)] if number == 1 else []
        direction = _words(words) if words and opens else ()
        end = _end() if words and closes else ()
        if answer_begins(fill.bar, number - first):
            direction = (*direction, *_words(ANSWER))
        notes = _voices(parts, fill.bar.meter, hat_signs(fill), ids)
        about = {"number": str(number - short)}
        if short and opens:
            # As the standard has it: a bar that is not counted.
            about = {"number": "0" if number == 1 else f"X{number}", "implicit": "yes"}
        yield make("measure", about, *start, *signs, *direction, *notes, *end)


def _words(words: str) -> Iterator[etree._Element]:
    kind = make("direction-type", None, make("words", None, words))
    yield make("direction", {"placement": "above"}, kind)


def _end() -> Iterator[etree._Element]:
    yield make("barline", {"location": "right"}, make("bar-style", None, "light-light"))


def _voices(
    parts: Sequence[Part], meter: Meter, above: Sequence[str], ids: str
) -> Iterator[etree._Element]:
    for number, part in enumerate(parts):
        if number:
            whole = sum((symbol.length for symbol in part.symbols), Fraction(0))
            yield make("backup", None, make("duration", None, str(whole * DIVISIONS)))
        yield from VoiceWriter(part, meter, above, ids).notes()


def _attributes(meter: Meter) -> etree._Element:
    return make(
        "attributes",
        None,
        make("divisions", None, str(DIVISIONS)),
        make(
            "time",
            None,
            make("beats", None, "+".join(map(str, meter.groups)) or str(meter.count)),
            make("beat-type", None, str(meter.unit)),
        ),
        make("clef", None, make("sign", None, "percussion")),
    )
