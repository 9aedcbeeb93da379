"""A file read in this process, whatever it does to it: use ``sandbox.read`` for uploads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rhythms.notation.reading.checked_score import checked
from rhythms.notation.reading.kinds import MIDI, MXL, check_size, kind_of
from rhythms.notation.reading.limits import MOST_MEASURES
from rhythms.notation.reading.midi_file import source_of_midi
from rhythms.notation.reading.pickups import with_pickups
from rhythms.notation.reading.raw import RawMeasure, Source
from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.result import Reading, ReadMeasure
from rhythms.notation.reading.several_bars import with_several_bars
from rhythms.notation.reading.spelling import spelled
from rhythms.notation.reading.unpacking import score_in


def read_here(data: bytes, *, hands_only: bool = False) -> Reading:
    """Every measure of a MusicXML, .mxl or MIDI file. Raises ReadingError.

    With ``hands_only``, what percussion plays with the feet is left out.
    """
    kind = kind_of(data)
    check_size(kind, len(data))
    if kind == MIDI:
        return _spelled(kind, source_of_midi(data, hands_only=hands_only))
    score = checked(score_in(data) if kind == MXL else data, hands_only=hands_only)
    # Its library takes a second and much memory to load: other files, and refused ones, do without.
    from rhythms.notation.reading.score import source_of_score  # noqa: PLC0415

    return _spelled(kind, source_of_score(score))


def _bars_of(measures: Sequence[RawMeasure]) -> Iterator[RawMeasure]:
    """The measures, those that are one bar of ours together."""
    return with_pickups(tuple(with_several_bars(measures)))


def _spelled(kind: str, source: Source) -> Reading:
    words, measures = list(source.words), list[ReadMeasure]()
    for number, part in enumerate(source.parts):
        room = MOST_MEASURES - len(measures)
        measures += [
            spelled(measure, number, first=place == 0)
            for place, measure in enumerate(_bars_of(part.measures[:room]))
        ]
    if not measures:
        raise ReadingError("no-measures", "The file has no measure to read.")
    found = sum(len(part.measures) for part in source.parts)
    if found > MOST_MEASURES:
        words.append(f"The file has {found} measures; the first {MOST_MEASURES} were read.")
    names = tuple(part.name for part in source.parts)
    return Reading(kind, source.title, names, tuple(measures), tuple(words))
