"""From what is struck in a measure to a bar that can be counted, with words for what gave way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from rhythms.engine import Bar, Beat, Meter
from rhythms.engine.bars.beat_divisions import divisions_of
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import EngineError
from rhythms.notation.reading.raw import RawMeasure, Strike
from rhythms.notation.reading.result import ReadMeasure
from rhythms.notation.reading.struck_fill import struck_fill

_START = Fraction(0)


def spelled(measure: RawMeasure, part: int, *, first: bool = False) -> ReadMeasure:
    """The measure as a bar; of the ``first`` one of a part, one that is short is a pickup."""
    words = list(measure.words)
    fits = _fitting(measure, measure.meter, words, first) if measure.meter else None
    bar = _bar(fits, fits.meter, words) if fits and fits.meter else None
    if fits is None or bar is None:
        return ReadMeasure(part, measure.number, None, tuple(words))
    fill, left_out = struck_fill(bar, fits.strikes)
    return ReadMeasure(part, measure.number, bar, (*words, *left_out), fill)


def _fitting(measure: RawMeasure, meter: Meter, words: list[str], first: bool) -> RawMeasure | None:
    """The measure as long as its meter, and on places that can be counted."""
    if not measure.strikes:
        words.append("Nothing is struck in this measure.")
        return None
    if measure.length > meter.length:
        words.append(
            f"It lasts {_quarters(measure.length)}; "
            f"a bar of {meter} lasts {_quarters(meter.length)}."
        )
        return None
    return _countable(_filled_up(measure, meter, words, first), meter, words)


def _bar(measure: RawMeasure, meter: Meter, words: list[str]) -> Bar | None:
    try:
        bar = Bar.from_events(meter, tuple(_events(measure, meter, words)))
        bar = _as_counted(bar, measure.counted)
        bar.counts()
    except EngineError as error:
        words.append(f"It cannot be written as a bar: {error.message}")
        return None
    return bar


def _filled_up(measure: RawMeasure, meter: Meter, words: list[str], first: bool) -> RawMeasure:
    """A measure that is too short gets rests: a pickup before it, any other behind it."""
    missing = meter.length - measure.length
    if not missing:
        return measure
    words.append(
        f"It lasts {_quarters(measure.length)} of the {_quarters(meter.length)} of {meter}; "
        f"rests are put {'before' if first else 'after'} it."
    )
    shift = missing if first else _START
    rests = (_START if first else measure.length, *(rest + shift for rest in measure.rests))
    strikes = tuple(
        replace(strike, onset=strike.onset + shift, end=strike.end + shift)
        for strike in measure.strikes
    )
    held = _START if first else measure.held
    return replace(measure, length=meter.length, strikes=strikes, rests=rests, held=held)


# --- beats that counting cannot hold -------------------------------------------------


def _countable(measure: RawMeasure, meter: Meter, words: list[str]) -> RawMeasure:
    """The measure with the strikes of each beat on places of one grid."""
    moved: dict[Fraction, Fraction] = {}
    starts = _starts(measure)
    for beat in meter.beats:
        inside = [onset for onset in starts if beat.onset <= onset < beat.end]
        if not _holds(beat, meter, inside):
            struck = [strike.onset for strike in measure.strikes if strike.onset in inside]
            moved |= _onto_a_grid(beat, meter, inside)
            words.append(_moved_words(beat, struck, moved))
    return _moved(measure, moved, meter) if moved else measure


def _starts(measure: RawMeasure) -> list[Fraction]:
    struck = [strike.onset for strike in measure.strikes]
    ends = {strike.end for strike in measure.strikes} | set(measure.rests)
    return sorted({*struck, *(end for end in ends if _silent(measure, end))})


def _silent(measure: RawMeasure, at: Fraction) -> bool:
    sounding = any(strike.onset <= at < strike.end for strike in measure.strikes)
    return measure.held <= at < measure.length and not sounding


def _holds(beat: Beat, meter: Meter, onsets: Iterable[Fraction]) -> bool:
    offsets = frozenset(onset - beat.onset for onset in onsets)
    divisions = divisions_of(beat, in_eighths=meter.in_eighths)
    return any(division.holds(offsets) for division in divisions)


def _onto_a_grid(beat: Beat, meter: Meter, onsets: list[Fraction]) -> dict[Fraction, Fraction]:
    """To the grid on which most stay apart, and of those the one that moves them least."""

    def places(grid: tuple[Fraction, ...]) -> dict[Fraction, Fraction]:
        return {onset: min(grid, key=lambda place: abs(place - onset)) for onset in onsets}

    def cost(chosen: dict[Fraction, Fraction]) -> tuple[int, Fraction]:
        return -len(set(chosen.values())), sum(
            (abs(place - onset) for onset, place in chosen.items()), _START
        )

    candidates = [
        places(tuple(beat.onset + count.offset for count in division.counts))
        for division in divisions_of(beat, in_eighths=meter.in_eighths)
    ]
    return min(candidates, key=cost)


def _moved_words(beat: Beat, struck: list[Fraction], moved: dict[Fraction, Fraction]) -> str:
    left = len({moved[onset] for onset in struck})
    what = "is finer than 32nds or mixes what is not counted in one beat"
    if left < len(struck):
        return f"Beat {beat.number} {what}: of its {len(struck)} notes {left} are left."
    return f"Beat {beat.number} {what}: its notes are moved to the nearest counts."


def _moved(measure: RawMeasure, moved: dict[Fraction, Fraction], meter: Meter) -> RawMeasure:
    strikes: dict[Fraction, Strike] = {}
    for strike in measure.strikes:
        onset = moved.get(strike.onset, strike.onset)
        known = strikes.get(onset, Strike(onset, onset))
        strikes[onset] = Strike(
            onset,
            max(moved.get(strike.end, strike.end), onset),
            strike.accent or known.accent,
            known.caught + strike.caught,
        )
    ordered = [strikes[onset] for onset in sorted(strikes)]
    ends = [strike.onset for strike in ordered[1:]] + [meter.length]
    held = tuple(
        # A note whose end was moved onto its start goes on to the next one.
        replace(strike, end=end if strike.end == strike.onset else strike.end)
        for strike, end in zip(ordered, ends, strict=True)
    )
    rests = tuple(sorted({moved.get(rest, rest) for rest in measure.rests}))
    return replace(measure, strikes=held, rests=rests)


# --- events ----------------------------------------------------------------------------


def _events(measure: RawMeasure, meter: Meter, words: list[str]) -> Iterator[Event]:
    struck = {strike.onset: strike.accent for strike in measure.strikes}
    for strike in measure.strikes:
        struck[strike.onset] = struck[strike.onset] or strike.accent
    starts = [start for start in _starts(measure) if start < meter.length]
    if measure.held and (not starts or starts[0]):
        words.append("A note held over from the measure before is a rest here.")
    if not starts or starts[0]:
        yield Event(_START, rest=True)
    for start in starts:
        yield Event(start, start not in struck, struck.get(start, False))


def _as_counted(bar: Bar, counted: Bar | None) -> Bar:
    """The silence as a count line divides it, where that has the same strokes."""
    if counted is None or counted.meter != bar.meter:
        return bar
    accents = {note.onset: note.accent for note in bar.sounded}
    if [note.onset for note in counted.sounded] != list(accents):
        return bar
    return Bar.from_events(
        bar.meter,
        [event._replace(accent=accents.get(event.onset, False)) for event in counted.events()],
    )


def _quarters(length: Fraction) -> str:
    whole, part = divmod(length, 1)
    length_text = f"{whole} {part}" if part and whole else str(part or whole)
    return f"{length_text} quarter{'' if length == 1 else 's'}"
