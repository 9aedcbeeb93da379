"""A groove as a grid to touch: a row for each drum, and the places of each beat.

The bar that leads into a fill has a grid of its own. A drum without a line there goes on in it as
in the groove, until one of its places is touched.
"""

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine import Beat, EngineError, Meter, Surface
from rhythms.engine.bars.beat_divisions import Division, divisions_of
from rhythms.engine.bars.spoken_counts import division_for
from rhythms.engine.playback.groove_clashes import Played
from rhythms.engine.playback.groove_line import LineHit, read_line, spell_line
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.grooves.groove_draft import IN_ROWS, LINE, SETUP, USUAL, GrooveDraft

SILENT = "silent"
#: The line of a drum that is silent where it would else go on as in the groove.
_SILENCED = "(1)"
#: Before the names of what a grid sends.
_PREFIXES = {LINE: "", SETUP: "setup-"}
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
    """The places of one drum in one beat; whether it ``goes_on`` there as in the groove."""

    drum: Surface
    places: tuple[DrumPlace, ...]
    goes_on: bool = False


class BeatOfDrums(NamedTuple):
    """One beat: its name and title, into what it is divided, and a row for each drum."""

    name: str
    title: str
    divisions: tuple[str, ...]
    division: str
    rows: tuple[DrumRow, ...]


class GrooveGrid(NamedTuple):
    """All beats of the groove, or of the bar that leads on.

    ``prefix`` stands before the names of what is chosen and touched on it.
    """

    beats: tuple[BeatOfDrums, ...]
    prefix: str = ""


def sent_names(part: str) -> tuple[str, str]:
    """What a form calls the divisions that are chosen on a grid, and the places touched."""
    return f"{_PREFIXES[part]}division", f"{_PREFIXES[part]}turn"


def groove_grid(
    draft: GrooveDraft, chosen: Sequence[str] = (), part: str = LINE
) -> GrooveGrid | None:
    """The grid of what is typed, each beat as finely divided as its lines need, or as chosen.

    ``part`` is the groove, or the bar that leads into a fill. None where a line cannot be read, or
    a beat is counted in two ways: the last grid stands.
    """
    try:
        meter, played = _meter_of(draft.pattern, part), _played(draft, part)
        asked = [*chosen, *[""] * len(meter.beats)]
        beats = [
            _beat(beat, played, meter, name) for beat, name in zip(meter.beats, asked, strict=False)
        ]
    except EngineError:
        return None
    titled = beats if part == LINE else [_leading_on(beat, draft) for beat in beats]
    return GrooveGrid(tuple(titled), _PREFIXES[part])


def _meter_of(pattern: GroovePattern, part: str) -> Meter:
    return pattern.meter if part == SETUP else pattern.meter.over(pattern.bars)


def _played(draft: GrooveDraft, part: str) -> Played:
    """What each drum with a row plays."""
    pattern = draft.pattern
    lines = {**draft.lines, **(draft.setup if part == SETUP else {})}
    played = pattern.leading_in(0) if part == SETUP else pattern.whole
    return {drum: played.get(drum, ()) for drum in IN_ROWS if drum in USUAL or drum in lines}


def _leading_on(beat: BeatOfDrums, draft: GrooveDraft) -> BeatOfDrums:
    rows = (row._replace(goes_on=row.drum not in draft.setup) for row in beat.rows)
    return beat._replace(title=f"Leading in, {beat.title.lower()}", rows=tuple(rows))


def _beat(beat: Beat, played: Played, meter: Meter, chosen: str) -> BeatOfDrums:
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


def turned(draft: GrooveDraft, turns: Sequence[str], part: str = LINE) -> dict[Surface, str]:
    """The lines of the drums that were touched, after each turn in order: ``snare 5/2``.

    In the bar that leads on, a drum that comes to play what the groove does has no line. What names
    no drum or place, or a line that cannot be read, is left as it is.
    """
    typed = draft.setup if part == SETUP else draft.lines
    lines: dict[Surface, str] = {}
    for turn in turns:
        match = _TURN.fullmatch(turn)
        if match is None or match["drum"] not in tuple(Surface):
            continue
        drum, onset = Surface(match["drum"]), Fraction(match["onset"])
        try:
            text = lines.get(drum, typed.get(drum, ""))
            lines[drum] = _turned(_LineOfDrum(draft.pattern, part, drum), text, onset)
        except EngineError:
            continue
    return lines


class _LineOfDrum(NamedTuple):
    """Whose line it is, and of what."""

    pattern: GroovePattern
    part: str
    drum: Surface

    @property
    def meter(self) -> Meter:
        return _meter_of(self.pattern, self.part)

    def read(self, text: str) -> Sequence[LineHit]:
        """What it has its drum play."""
        if self.part == SETUP and not text.strip():
            return self.pattern.in_bar(0).get(self.drum, ())
        return read_line(text, self.meter)

    def spell(self, hits: Iterable[LineHit]) -> str:
        """The inverse of ``read``."""
        if self.part == LINE:
            return spell_line(hits, self.meter)
        struck = _by_onset(hits)
        bars = (self.pattern.in_bar(bar).get(self.drum, ()) for bar in range(self.pattern.bars))
        goes_on = all(_by_onset(bar) == struck for bar in bars)
        return "" if goes_on else spell_line(hits, self.meter) or _SILENCED


def _by_onset(hits: Iterable[LineHit]) -> dict[Fraction, str]:
    return {hit.onset: hit.dynamic for hit in hits}


def _turned(line: _LineOfDrum, text: str, onset: Fraction) -> str:
    hits = {hit.onset: hit for hit in line.read(text)}
    before = hits.pop(onset, None)
    dynamic = _AFTER[before.dynamic if before else None]
    if dynamic and onset < line.meter.length:
        hits[onset] = LineHit(onset, dynamic)
    return line.spell(hits.values())
