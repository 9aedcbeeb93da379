"""A bar as a grid to toggle: each beat has a division, each cell sounds, rests or is held."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine import Bar, Beat, EngineError, Meter
from rhythms.engine.bars.beat_divisions import Division, divisions_of
from rhythms.engine.bars.meter import MOST_BARS
from rhythms.engine.bars.writing import Event

SOUND, ACCENT, REST, HOLD = "sound", "accent", "rest", "hold"
KINDS = (SOUND, ACCENT, REST, HOLD)

#: In the names of divisions of which each part of a beat is counted apart.
_APART = " + "
#: A place that was set: its beat, how many quarter lengths after it, and what it is to do.
_PLACE = re.compile(
    rf"(?P<beat>\d-\d{{1,2}}) (?P<offset>\d(/[1-9]\d?)?) (?P<kind>{'|'.join(KINDS)})"
)


class GridError(EngineError):
    """A grid that does not make up a bar."""

    code = "grid"


@dataclass(frozen=True)
class Cell:
    """One place of a beat: ``offset`` from the beat in quarter lengths, its syllable, its kind."""

    offset: Fraction
    label: str
    kind: str


@dataclass(frozen=True)
class GridBeat:
    """One beat of the grid; its cells lie evenly, the first one on the beat.

    ``divisions`` are those to choose ``division`` from. ``opens`` the grid: nothing can be held on
    its first place. ``bar`` is counted from 1, and 0 for a pick-up.
    """

    beat: Beat
    divisions: tuple[str, ...]
    division: str
    cells: tuple[Cell, ...]
    opens: bool = False
    bar: int = 1

    @property
    def key(self) -> str:
        """``1-3``: its name in the page, whether or not a pick-up comes before it."""
        return f"{self.bar}-{self.beat.number}"

    @property
    def title(self) -> str:
        """``Beat 2``; in eighth-note meters, where counts are no beats, ``Counts 4 to 6``."""
        counted = [cell.label for cell in self.cells if cell.label.isdigit()]
        if len(counted) > 1:
            words = f"Counts {counted[0]} to {counted[-1]}"
        else:
            words = f"{'Beat' if self.beat.number == int(counted[0]) else 'Count'} {counted[0]}"
        where = "Pick-up" if self.bar == 0 else f"Bar {self.bar}"
        return words if self.bar == 1 else f"{where}, {words.lower()}"


Grid = tuple[GridBeat, ...]


class PickupChoice(NamedTuple):
    """A pick-up that a bar can have: how many counts, in words, and whether it is the bar's own."""

    counts: int
    words: str
    chosen: bool


def pickups(meter: Meter) -> tuple[PickupChoice, ...]:
    """The pick-ups to choose from, the shortest first; nothing where there can be none."""
    most = meter.count - 1 if meter.pickup or meter.bars < MOST_BARS else 0
    words = ["none", *(f"from {meter.count - counts + 1}" for counts in range(1, most + 1))]
    choices = [PickupChoice(n, each, n == meter.pickup) for n, each in enumerate(words)]
    return tuple(choices) if most else ()


def divisions(meter: Meter) -> tuple[str, ...]:
    """What a whole beat of this meter can be divided into, coarsest first."""
    names = [one.name for one in _divisions_of(meter.beats[0], meter)]
    return tuple(name for name in names if _APART not in name)


def grid_of(bar: Bar) -> Grid:
    """The coarsest grid that holds the bar. Raises GridError for one finer than counting goes."""
    events = {event.onset: event for event in bar.events()}
    return tuple(_beat_of(beat, events, bar.meter) for beat in bar.meter.written_beats)


def blank(meter: Meter) -> Grid:
    """A bar of silence, with one cell a beat, each one touch away from sounding."""
    return tuple(
        _laid_out(
            beat,
            meter,
            _divisions_of(beat, meter)[0],
            {} if number else {_written_from(beat, meter): REST},
            HOLD,
        )
        for number, beat in enumerate(meter.written_beats)
    )


def read_grid(
    meter: Meter,
    chosen: Sequence[str],
    cells: Mapping[str, Sequence[str]],
    drawn: Sequence[str] = (),
) -> Grid:
    """The grid that was sent: a division for each beat, and for each beat by name its kinds.

    ``drawn`` are the divisions that the cells were drawn in, where that is known; else they are
    known by their number. Where it is another one, that was just chosen: places of both
    keep their kind, new ones sound; a beat without a sound in it sounds in all its new places.
    Raises GridError where the beats are not those of the meter, or a word is not known.
    """
    beats = meter.written_beats
    if len(chosen) != len(beats):
        raise GridError(f"A bar of {meter} has {len(beats)} beats, not {len(chosen)}.")
    known = drawn if len(drawn) == len(beats) else [""] * len(beats)
    return tuple(
        _read_beat(beat, meter, (division, before), tuple(cells.get(beat.name, ())))
        for beat, division, before in zip(beats, chosen, known, strict=True)
    )


def bar_of(grid: Grid, meter: Meter) -> Bar:
    """The bar of a grid. Raises GridError where its first place is held."""
    if grid[0].cells[0].kind == HOLD:
        raise GridError("There is nothing to hold on the first place: let it sound or rest.")
    events = [
        Event(beat.beat.onset + cell.offset, cell.kind == REST, cell.kind == ACCENT)
        for beat in grid
        for cell in beat.cells
        if cell.kind != HOLD
    ]
    return Bar.from_events(meter, events)


def with_places(bar: Bar, grid: Grid, sent: Sequence[str]) -> Bar:
    """The bar of a grid with what was set in places that the grid has no more: ``1-3 1/4 accent``.

    What names no place is left out. Raises EngineError where the bar cannot have it.
    """
    beats = {each.key: each.beat for each in grid}
    events = {event.onset: event for event in bar.events()}
    for place in filter(None, map(_PLACE.fullmatch, sent)):
        beat, offset, kind = beats.get(place["beat"]), Fraction(place["offset"]), place["kind"]
        if beat is None or offset >= beat.length:
            continue
        events.pop(onset := beat.onset + offset, None)
        if kind != HOLD:
            events[onset] = Event(onset, kind == REST, kind == ACCENT)
    return Bar.from_events(bar.meter, [events[onset] for onset in sorted(events)])


def _divisions_of(beat: Beat, meter: Meter) -> tuple[Division, ...]:
    return divisions_of(beat, in_eighths=meter.in_eighths)


def _written_from(beat: Beat, meter: Meter) -> Fraction:
    """The first offset of a beat that is written: later than 0 where a pick-up has its end."""
    return max(meter.opens_at - beat.onset, Fraction(0))


def _beat_of(beat: Beat, events: Mapping[Fraction, Event], meter: Meter) -> GridBeat:
    inside = {at - beat.onset: _kind(events[at]) for at in events if beat.onset <= at < beat.end}
    for division in _divisions_of(beat, meter):
        if division.holds(frozenset(inside)):
            return _laid_out(beat, meter, division, inside, HOLD)
    raise GridError(f"Beat {beat.number} is finer than this grid.")


def _kind(event: Event) -> str:
    if event.rest:
        return REST
    return ACCENT if event.accent else SOUND


def _laid_out(
    beat: Beat, meter: Meter, division: Division, kinds: Mapping[Fraction, str], otherwise: str
) -> GridBeat:
    cells = (
        Cell(at.offset, at.label, kinds.get(at.offset, otherwise))
        for at in division.counts
        if at.offset >= _written_from(beat, meter)
    )
    opens = beat == meter.written_beats[0]
    return GridBeat(
        beat,
        _to_choose(beat, meter, division.name),
        division.name,
        tuple(cells),
        opens,
        beat.bar - bool(meter.pickup),
    )


def _to_choose(beat: Beat, meter: Meter, own: str) -> tuple[str, ...]:
    """Whole divisions, then those of two halves; of more parts only the beat's own."""
    names = [one.name for one in _divisions_of(beat, meter)]
    apart = [name for name in names if _APART in name and (not meter.in_eighths or name == own)]
    return (*divisions(meter), *apart)


def _read_beat(
    beat: Beat, meter: Meter, names: tuple[str, str], kinds: tuple[str, ...]
) -> GridBeat:
    """``names``: the division chosen, and the one drawn."""
    for kind in kinds:
        if kind not in KINDS:
            raise GridError(f"“{kind}” is nothing a place can do; there are {', '.join(KINDS)}.")
    chosen = next((one for one in _divisions_of(beat, meter) if one.name == names[0]), None)
    if chosen is None:
        known = ", ".join(divisions(meter))
        raise GridError(f"“{names[0]}” does not divide a beat of {meter}; there are {known}.")
    before = _drawn(beat, meter, names, len(kinds))
    kept = dict(zip(_offsets(before, beat, meter), kinds, strict=True))
    sounding = any(kind in (SOUND, ACCENT) for kind in kinds)
    changed = before != chosen
    return _laid_out(beat, meter, chosen, {} if changed and not sounding else kept, SOUND)


def _drawn(beat: Beat, meter: Meter, names: tuple[str, str], places: int) -> Division:
    """The division that was drawn, by name, else the chosen one or the first of so many places."""
    fitting = [
        one
        for one in _divisions_of(beat, meter)
        if len(_offsets(one, beat, meter)) == places and names[1] in ("", one.name)
    ]
    if not fitting:
        raise GridError(f"Beat {beat.number} cannot have {places} places.")
    return next((one for one in fitting if one.name == names[0]), fitting[0])


def _offsets(division: Division, beat: Beat, meter: Meter) -> list[Fraction]:
    first = _written_from(beat, meter)
    return [count.offset for count in division.counts if count.offset >= first]
