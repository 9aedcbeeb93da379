"""One part of a MIDI file: its strokes on the places that they fit best, measure by measure."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine import Meter
from rhythms.engine.bars.beat_divisions import divisions_of
from rhythms.engine.bars.spoken_counts import count_names
from rhythms.engine.takes.struck_at_once import Caught
from rhythms.notation.count_line_text import bar_of_text
from rhythms.notation.export.midi import ACCENT_VELOCITY, NORMAL_VELOCITY
from rhythms.notation.feel_text import feel_of_text
from rhythms.notation.reading.blows import Blow, blows
from rhythms.notation.reading.fitting import Fit, Placed, Span, fit
from rhythms.notation.reading.limits import MOST_MEASURES
from rhythms.notation.reading.midi_bar_lines import BarLine, Clock, lines
from rhythms.notation.reading.midi_hits import PlayedMidi, Track
from rhythms.notation.reading.midi_moments import MidiMoment, caught, moments_of
from rhythms.notation.reading.pickups import only_pickup
from rhythms.notation.reading.raw import RawMeasure, RawPart, Strike
from rhythms.notation.reading.unswung import unswung

#: MIDI has no accents: more than halfway from our own normal stroke to our accent.
ACCENTED_OVER = (NORMAL_VELOCITY + ACCENT_VELOCITY) // 2
_LOUDEST = 127
#: A stroke is off where it lies this far from its count, in ms and in deviations of the take;
#: 6 ms is the least that listeners notice in a run of tones (Friberg and Sundberg 1995).
_OFF_MS, _OFF_DEVIATIONS = 8.0, 3.0
#: A note that sounds this far into the next beat, as a part of it, is held through it.
_HELD = Fraction(1, 4)


class _PlacedMoment(NamedTuple):
    moment: MidiMoment
    at: Placed


class MidiPart:
    """``words`` are about the part as a whole."""

    def __init__(self, found: PlayedMidi, track: Track) -> None:
        self.ticks_per_quarter = found.ticks_per_quarter
        self.track = track
        self.clock = Clock(found.tempos, found.ticks_per_quarter)
        self.counted = {self._quarters(tick): bar_of_text(text) for tick, text in found.texts}
        struck = list(self._written(found, track))
        self.lines = tuple(
            map(
                self._grouped,
                lines(found.signatures, self.ticks_per_quarter, struck[-1].tick, MOST_MEASURES + 2),
            )
        )
        together = moments_of(struck, self.clock, percussion=track.percussion)
        self.moments = [moment for moment in together if self._counted(moment)]
        self.fit = self._fitted()
        self.has_dynamics = min(blow.velocity for blow in struck) < _LOUDEST

    @property
    def words(self) -> tuple[str, ...]:
        """How the part as a whole was played."""
        if self.fit is None or self.fit.typed:
            return ()
        early = "early" if self.fit.shift < 0 else "late"
        shift = f", {abs(self.fit.shift):.0f} ms {early} as a whole" if self.fit.shift else ""
        scatter = f"strokes scatter by about {self.fit.deviation:.0f} ms{shift}"
        fits = "Each is written on the count that it fits best."
        return (f"This was played, not typed: {scatter}. {fits}",)

    def part(self) -> RawPart:
        """The part with all measures up to its last stroke."""
        homes: defaultdict[int, list[_PlacedMoment]] = defaultdict(list)
        placed = self.fit.placed if self.fit else ()
        for one in map(_PlacedMoment, self.moments, placed):
            homes[self._line_at(one.at.onset)].append(one)
        last = max(homes, default=0)
        measures = [
            self._measure(number, line, homes[number])
            for number, line in enumerate(self.lines[: last + 1])
        ]
        return RawPart(self.track.name, tuple(measures))

    # --- strokes onto counts -----------------------------------------------------------

    def _written(self, found: PlayedMidi, track: Track) -> Iterable[Blow]:
        struck = blows(track, found.ticks_per_quarter, self.clock.milliseconds)
        feels = [feel for _, text in found.texts if (feel := feel_of_text(text))]
        if not feels:
            return struck
        return unswung(struck, feels[0], self.counted, found.ticks_per_quarter)

    def _grouped(self, line: BarLine) -> BarLine:
        """The measure with the groups of a count line in its meter; a time signature has none."""
        told = (bar.meter.one_bar for bar in self.counted.values() if bar and bar.meter.groups)
        for meter in told:
            if line.meter == Meter(meter.count, meter.unit):
                return replace(line, meter=meter)
        return line

    def _quarters(self, tick: float) -> Fraction:
        return Fraction(tick) / self.ticks_per_quarter

    def _line_at(self, onset: Fraction) -> int:
        return bisect_right(self.lines, onset, key=lambda line: line.onset) - 1

    def _counted(self, moment: MidiMoment) -> bool:
        onset = self._quarters(moment.tick)
        return onset < self.lines[-1].end and self.lines[self._line_at(onset)].meter is not None

    def _fitted(self) -> Fit | None:
        if not self.moments:
            return None
        times = [float(self._quarters(moment.tick)) for moment in self.moments]
        shares = [moment.shares for moment in self.moments]
        spans = [span for line in self.lines for span in self._spans(line)]
        return fit(times, shares, spans, 1 / self.ticks_per_quarter)

    def _spans(self, line: BarLine) -> Iterator[Span]:
        for beat in line.meter.beats if line.meter else ():
            onset = line.onset + beat.onset
            quarter = self.clock.quarter_at(int(onset * self.ticks_per_quarter))
            in_eighths = line.meter is not None and line.meter.in_eighths
            ways = divisions_of(beat, in_eighths=in_eighths)
            offsets = tuple(tuple(count.offset for count in way.counts) for way in ways)
            yield Span(onset, beat.length, quarter, offsets)

    # --- measures ----------------------------------------------------------------------

    def _measure(self, number: int, line: BarLine, placed: list[_PlacedMoment]) -> RawMeasure:
        groups: dict[Fraction, list[_PlacedMoment]] = {}
        for one in placed:
            groups.setdefault(one.at.onset - line.onset, []).append(one)
        meter = line.meter
        words = line.words + (tuple(self._words(groups, meter)) if meter else ())
        onsets = sorted(groups)
        stops = [*onsets[1:], line.length]
        struck = tuple(
            Strike(
                onset,
                self._end(groups[onset], line, stop),
                self._accented(groups[onset]),
                self._caught(groups[onset]),
            )
            for onset, stop in zip(onsets, stops, strict=False)
        )
        rests = tuple(beat.onset for beat in meter.beats) if meter else ()
        counted = self.counted.get(line.onset)
        return only_pickup(
            RawMeasure(
                str(number + 1), meter, line.length, struck, rests, words=words, counted=counted
            )
        )

    def _end(self, group: list[_PlacedMoment], line: BarLine, stop: Fraction) -> Fraction:
        """The end of the beat in which the sound ends; drums let go at once."""
        beats = line.meter.beats if line.meter else ()
        start = group[0].at.onset - line.onset
        reached = self._quarters(max(blow.end for blow in _blows(group))) - line.onset
        for beat in beats:
            holds_on = not self.track.percussion and reached > beat.end + _HELD * beat.length
            if start < beat.end and not holds_on:
                return min(beat.end, stop)
        return stop

    def _accented(self, group: list[_PlacedMoment]) -> bool:
        loud = any(blow.velocity > ACCENTED_OVER for blow in _blows(group))
        return loud and self.has_dynamics

    def _caught(self, group: list[_PlacedMoment]) -> tuple[Caught, ...]:
        if not self.track.percussion or self.fit is None:
            return ()
        together = [one.moment for one in group]
        return tuple(caught(together, typed=self.fit.typed, even=not self.has_dynamics))

    # --- what did not fit --------------------------------------------------------------

    def _words(self, groups: dict[Fraction, list[_PlacedMoment]], meter: Meter) -> Iterator[str]:
        onsets = tuple(sorted(groups))
        names = dict(zip(onsets, count_names(onsets, meter), strict=True))
        crowded = [
            onset for onset in onsets if not all(one.moment.shares for one in groups[onset][1:])
        ]
        if crowded:
            listed = _listed([names[onset] for onset in crowded])
            yield f"Strokes too close to count were taken as one: {listed}."
        off = [
            f"{abs(one.at.late):.0f} ms {'late' if one.at.late > 0 else 'early'} at {names[onset]}"
            for onset in onsets
            for one in groups[onset]
            if onset not in crowded and self._is_off(one)
        ]
        if off:
            yield f"Off the count: {_listed(off)}."

    def _is_off(self, one: _PlacedMoment) -> bool:
        deviation = self.fit.deviation if self.fit else 0.0
        return abs(one.at.late) > max(_OFF_MS, _OFF_DEVIATIONS * deviation)


def _blows(group: list[_PlacedMoment]) -> list[Blow]:
    return [blow for one in group for blow in one.moment.blows]


def _listed(words: list[str]) -> str:
    """The first few; a measure that fits nowhere is not listed stroke by stroke."""
    shown = words[:4]
    rest = len(words) - len(shown)
    return ", ".join(shown) + (f" and {rest} more" if rest else "")
