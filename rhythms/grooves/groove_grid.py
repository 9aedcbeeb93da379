"""A groove as a grid to touch: a row for each drum, and the places of each beat."""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine import Beat, EngineError, Meter, Surface
from rhythms.engine.bars.beat_divisions import Division, divisions_of
from rhythms.engine.bars.spoken_counts import division_for
from rhythms.engine.playback.groove_line import LineHit, read_line, spell_line
from rhythms.grooves.groove_draft import IN_ROWS, USUAL, GrooveDraft

SILENT = "silent"
#: What a touch makes of a place: by the dynamic that is there, None for silence.
_AFTER = {None: "normal", "normal": "accent", "accent": "ghost", "ghost": None}
_TURN = re.compile(r"(?P<drum>[a-z -]+) (?P<onset>\d{1,3}(/[1-9]\d{0,3})?)")


class DrumPlace(NamedTuple):
    """Where a drum may be struck: ``onset`` in quarter lengths, its syllable, and the dynamic."""

    onset: Fraction
    label: str
    kind: str

    @property
    def id(self) -> str:
        """The onset as part of an id."""
        return str(self.onset).replace("/", "-")


class DrumRow(NamedTuple):
    """The places of one drum in one beat."""

    drum: Surface
    places: tuple[DrumPlace, ...]


class BeatOfDrums(NamedTuple):
    """One beat: its name and title, into what it is divided, and a row for each drum."""

    name: str
    title: str
    divisions: tuple[str, ...]
    division: str
    rows: tuple[DrumRow, ...]


class GrooveGrid(NamedTuple):
    """All beats; ``bars`` of them."""

    bars: int
    beats: tuple[BeatOfDrums, ...]


def groove_grid(draft: GrooveDraft, chosen: Sequence[str] = ()) -> GrooveGrid | None:
    """The grid of what is typed, each beat as finely divided as its lines need, or as chosen.

    None where a line cannot be read, or a beat is counted in two ways: the last grid stands.
    """
    try:
        pattern = draft.pattern
        meter = pattern.meter.over(pattern.bars)
        played = {drum: read_line(draft.lines.get(drum, ""), meter) for drum in _drums(draft)}
        asked = [*chosen, *[""] * len(meter.beats)]
        beats = [
            _beat(beat, played, meter, name) for beat, name in zip(meter.beats, asked, strict=False)
        ]
    except EngineError:
        return None
    return GrooveGrid(pattern.bars, tuple(beats))


def _drums(draft: GrooveDraft) -> Iterator[Surface]:
    return (drum for drum in IN_ROWS if drum in USUAL or drum in draft.lines)


def _beat(
    beat: Beat, played: dict[Surface, tuple[LineHit, ...]], meter: Meter, chosen: str
) -> BeatOfDrums:
    inside = {
        drum: {hit.onset: hit.dynamic for hit in hits if beat.onset <= hit.onset < beat.end}
        for drum, hits in played.items()
    }
    offsets = frozenset(on - beat.onset for struck in inside.values() for on in struck)
    there_are = divisions_of(beat, in_eighths=meter.in_eighths)
    wanted = (one for one in there_are if one.name == chosen and one.holds(offsets))
    division = next(wanted, None) or division_for(beat, offsets, meter)
    rows = (DrumRow(drum, _places(beat, division, struck)) for drum, struck in inside.items())
    names = tuple(one.name for one in there_are)
    return BeatOfDrums(beat.name, _title(beat, meter), names, division.name, tuple(rows))


def _places(beat: Beat, division: Division, struck: dict[Fraction, str]) -> tuple[DrumPlace, ...]:
    return tuple(
        DrumPlace(onset, count.label, struck.get(onset, SILENT))
        for count in division.counts
        for onset in [beat.onset + count.offset]
    )


def _title(beat: Beat, meter: Meter) -> str:
    words = f"Beat {beat.number}"
    return f"Bar {beat.bar}, {words.lower()}" if meter.bars > 1 else words


def turned(draft: GrooveDraft, turns: Sequence[str]) -> dict[Surface, str]:
    """The lines of the drums that were touched, after each turn in order: ``snare 5/2``.

    What names no drum or place, or a line that cannot be read, is left as it is.
    """
    lines: dict[Surface, str] = {}
    for turn in turns:
        match = _TURN.fullmatch(turn)
        if match is None or match["drum"] not in tuple(Surface):
            continue
        drum, onset = Surface(match["drum"]), Fraction(match["onset"])
        try:
            lines[drum] = _turned(draft, lines.get(drum, draft.lines.get(drum, "")), onset)
        except EngineError:
            continue
    return lines


def _turned(draft: GrooveDraft, text: str, onset: Fraction) -> str:
    meter = draft.pattern.meter.over(draft.pattern.bars)
    hits = {hit.onset: hit for hit in read_line(text, meter)}
    before = hits.pop(onset, None)
    dynamic = _AFTER[before.dynamic if before else None]
    if dynamic and onset < meter.length:
        hits[onset] = LineHit(onset, dynamic)
    return spell_line(hits.values(), meter)
