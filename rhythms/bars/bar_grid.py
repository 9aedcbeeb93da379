"""A bar as a grid to toggle: each beat has a division, each cell sounds, rests or is held."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rhythms.engine import Bar, Beat, EngineError, Meter
from rhythms.engine.bars.spoken_counts import Count, grids
from rhythms.engine.bars.writing import Event

SOUND, ACCENT, REST, HOLD = "sound", "accent", "rest", "hold"
KINDS = (SOUND, ACCENT, REST, HOLD)

#: Names of a beat's divisions, in the order in which the engine gives their grids.
_OF_QUARTERS = ("quarter", "eighths", "16ths", "triplets", "sextuplets")
_OF_EIGHTHS = ("eighths", "16ths")


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

    ``divisions`` are those to choose ``division`` from.
    """

    beat: Beat
    divisions: tuple[str, ...]
    division: str
    cells: tuple[Cell, ...]

    @property
    def title(self) -> str:
        """``Beat 2``; in eighth-note meters, where counts are no beats, ``Counts 4 to 6``."""
        counted = [cell.label for cell in self.cells if cell.label.isdigit()]
        one = len(counted) == 1
        words = f"Beat {counted[0]}" if one else f"Counts {counted[0]} to {counted[-1]}"
        return words if self.beat.bar == 1 else f"Bar {self.beat.bar}, {words.lower()}"

    @property
    def opens_the_bar(self) -> bool:
        """Nothing can be held on the first place of a bar."""
        return self.beat.onset == 0


Grid = tuple[GridBeat, ...]


def divisions(meter: Meter) -> tuple[str, ...]:
    """What a beat of this meter can be divided into, coarsest first."""
    return _OF_EIGHTHS if meter.in_eighths else _OF_QUARTERS


def grid_of(bar: Bar) -> Grid:
    """The coarsest grid that holds the bar. Raises GridError for one finer than counting goes."""
    events = {event.onset: event for event in bar.events()}
    return tuple(_beat_of(beat, events, bar.meter) for beat in bar.meter.beats)


def blank(meter: Meter) -> Grid:
    """A bar of silence, with one cell a beat, each one touch away from sounding."""
    return tuple(
        _laid_out(beat, meter, 0, {} if beat.onset else {Fraction(0): REST}, HOLD)
        for beat in meter.beats
    )


def read_grid(meter: Meter, chosen: Sequence[str], cells: Mapping[str, Sequence[str]]) -> Grid:
    """The grid that was sent: a division for each beat, and for each beat by name its kinds.

    Where a beat has the cells of another division, that one was just changed: places of both
    keep their kind, new ones sound; a beat without a sound in it sounds in all its new places.
    Raises GridError where the beats are not those of the meter, or a word is not known.
    """
    if len(chosen) != len(meter.beats):
        raise GridError(f"A bar of {meter} has {len(meter.beats)} beats, not {len(chosen)}.")
    return tuple(
        _read_beat(beat, meter, division, tuple(cells.get(beat.name, ())))
        for beat, division in zip(meter.beats, chosen, strict=True)
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


def _beat_of(beat: Beat, events: Mapping[Fraction, Event], meter: Meter) -> GridBeat:
    inside = {at - beat.onset: _kind(events[at]) for at in events if beat.onset <= at < beat.end}
    for number, counts in enumerate(grids(beat, meter.in_eighths)):
        if inside.keys() <= {count.offset for count in counts}:
            return _laid_out(beat, meter, number, inside, HOLD)
    raise GridError(f"Beat {beat.number} is finer than this grid.")


def _kind(event: Event) -> str:
    if event.rest:
        return REST
    return ACCENT if event.accent else SOUND


def _laid_out(
    beat: Beat, meter: Meter, number: int, kinds: Mapping[Fraction, str], otherwise: str
) -> GridBeat:
    counts = grids(beat, meter.in_eighths)[number]
    cells = (Cell(at.offset, at.label, kinds.get(at.offset, otherwise)) for at in counts)
    names = divisions(meter)
    return GridBeat(beat, names, names[number], tuple(cells))


def _read_beat(beat: Beat, meter: Meter, division: str, kinds: tuple[str, ...]) -> GridBeat:
    for kind in kinds:
        if kind not in KINDS:
            raise GridError(f"“{kind}” is nothing a place can do; there are {', '.join(KINDS)}.")
    if division not in divisions(meter):
        known = ", ".join(divisions(meter))
        raise GridError(f"“{division}” does not divide a beat of {meter}; there are {known}.")
    number = divisions(meter).index(division)
    before = _grid_with(len(kinds), beat, meter)
    kept = {count.offset: kind for count, kind in zip(before, kinds, strict=True)}
    sounding = any(kind in (SOUND, ACCENT) for kind in kinds)
    changed = len(grids(beat, meter.in_eighths)[number]) != len(kinds)
    return _laid_out(beat, meter, number, {} if changed and not sounding else kept, SOUND)


def _grid_with(places: int, beat: Beat, meter: Meter) -> tuple[Count, ...]:
    """No two divisions of a beat have the same number of places."""
    for counts in grids(beat, meter.in_eighths):
        if len(counts) == places:
            return counts
    raise GridError(f"Beat {beat.number} cannot have {places} places.")
