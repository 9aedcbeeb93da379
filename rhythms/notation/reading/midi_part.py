"""One part of a MIDI file: its strokes on the places that they fit best, measure by measure."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine import Meter
from rhythms.engine.bars.spoken_counts import count_names, grids
from rhythms.notation.count_line_text import bar_of_text
from rhythms.notation.export.midi import ACCENT_VELOCITY, NORMAL_VELOCITY
from rhythms.notation.feel_text import feel_of_text
from rhythms.notation.reading.blows import Blow, blows
from rhythms.notation.reading.fitting import Fit, Placed, Span, fit
from rhythms.notation.reading.limits import MOST_MEASURES
from rhythms.notation.reading.midi_bar_lines import BarLine, Clock, lines
from rhythms.notation.reading.midi_hits import PlayedMidi, Track
from rhythms.notation.reading.raw import RawMeasure, RawPart, Strike
from rhythms.notation.reading.unswung import unswung

#: MIDI has no accents: more than halfway from our own normal stroke to our accent.
_ACCENTED_OVER = (NORMAL_VELOCITY + ACCENT_VELOCITY) // 2
_LOUDEST = 127
#: A stroke is off where it lies this far from its count, in ms and in deviations of the take;
#: 6 ms is the least that listeners notice in a run of tones (Friberg and Sundberg 1995).
_OFF_MS, _OFF_DEVIATIONS = 8.0, 3.0
#: Strokes this close are one event, hands together or a flam: in ms, and in quarters.
_TOGETHER_MS, _TOGETHER_QUARTERS = 45.0, 0.09
#: A note that sounds this far into the next beat, as a part of it, is held through it.
_HELD = Fraction(1, 4)


class _GridStroke(NamedTuple):
    blow: Blow
    at: Placed


class MidiPart:
    """``words`` are about the part as a whole."""

    def __init__(self, found: PlayedMidi, track: Track) -> None:
        self.ticks_per_quarter = found.ticks_per_quarter
        self.track = track
        self.clock = Clock(found.tempos, found.ticks_per_quarter)
        self.counted = {self._quarters(tick): bar_of_text(text) for tick, text in found.texts}
        struck = list(self._written(found, track))
        self.lines = lines(
            found.signatures, found.ticks_per_quarter, struck[-1].tick, MOST_MEASURES + 2
        )
        self.blows = [blow for blow in struck if self._counted(blow)]
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
        homes: defaultdict[int, list[_GridStroke]] = defaultdict(list)
        placed = self.fit.placed if self.fit else ()
        for stroke in map(_GridStroke, self.blows, placed):
            homes[self._line_at(stroke.at.onset)].append(stroke)
        last = max(homes, default=0)
        measures = [
            self._measure(number, line, homes[number])
            for number, line in enumerate(self.lines[: last + 1])
        ]
        return RawPart(self.track.name, tuple(measures))

    # --- strokes onto counts -----------------------------------------------------------

    def _written(self, found: PlayedMidi, track: Track) -> Iterable[Blow]:
        struck = blows(track.hits, found.ticks_per_quarter, self.clock.milliseconds)
        feels = [feel for _, text in found.texts if (feel := feel_of_text(text))]
        if not feels:
            return struck
        return unswung(struck, feels[0], self.counted, found.ticks_per_quarter)

    def _quarters(self, tick: int) -> Fraction:
        return Fraction(tick, self.ticks_per_quarter)

    def _line_at(self, onset: Fraction) -> int:
        return bisect_right(self.lines, onset, key=lambda line: line.onset) - 1

    def _counted(self, blow: Blow) -> bool:
        onset = self._quarters(blow.tick)
        return onset < self.lines[-1].end and self.lines[self._line_at(onset)].meter is not None

    def _fitted(self) -> Fit | None:
        if not self.blows:
            return None
        times = [float(self._quarters(blow.tick)) for blow in self.blows]
        spans = [span for line in self.lines for span in self._spans(line)]
        return fit(times, spans, 1 / self.ticks_per_quarter)

    def _spans(self, line: BarLine) -> Iterator[Span]:
        for beat in line.meter.beats if line.meter else ():
            onset = line.onset + beat.onset
            quarter = self.clock.quarter_at(int(onset * self.ticks_per_quarter))
            ways = grids(beat, line.meter is not None and line.meter.in_eighths)
            offsets = tuple(tuple(count.offset for count in way) for way in ways)
            yield Span(onset, beat.length, quarter, offsets)

    # --- measures ----------------------------------------------------------------------

    def _measure(self, number: int, line: BarLine, strokes: list[_GridStroke]) -> RawMeasure:
        groups: dict[Fraction, list[_GridStroke]] = {}
        for stroke in strokes:
            groups.setdefault(stroke.at.onset - line.onset, []).append(stroke)
        meter = line.meter
        words = line.words + (tuple(self._words(groups, meter)) if meter else ())
        onsets = sorted(groups)
        stops = [*onsets[1:], line.length]
        struck = tuple(
            Strike(onset, self._end(groups[onset], line, stop), self._accented(groups[onset]))
            for onset, stop in zip(onsets, stops, strict=False)
        )
        rests = tuple(beat.onset for beat in meter.beats) if meter else ()
        counted = self.counted.get(line.onset)
        return RawMeasure(
            str(number + 1), meter, line.length, struck, rests, words=words, counted=counted
        )

    def _end(self, group: list[_GridStroke], line: BarLine, stop: Fraction) -> Fraction:
        """The end of the beat in which the sound ends; drums let go at once."""
        beats = line.meter.beats if line.meter else ()
        start = group[0].at.onset - line.onset
        reached = max(self._quarters(stroke.blow.end) for stroke in group) - line.onset
        for beat in beats:
            holds_on = not self.track.percussion and reached > beat.end + _HELD * beat.length
            if start < beat.end and not holds_on:
                return min(beat.end, stop)
        return stop

    def _accented(self, group: list[_GridStroke]) -> bool:
        loud = any(stroke.blow.velocity > _ACCENTED_OVER for stroke in group)
        return loud and self.has_dynamics

    # --- what did not fit --------------------------------------------------------------

    def _words(self, groups: dict[Fraction, list[_GridStroke]], meter: Meter) -> Iterator[str]:
        onsets = tuple(sorted(groups))
        names = dict(zip(onsets, count_names(onsets, meter), strict=True))
        crowded = [onset for onset in onsets if self._events_in(groups[onset]) > 1]
        if crowded:
            listed = _listed([names[onset] for onset in crowded])
            yield f"Strokes too close to count were taken as one: {listed}."
        off = [
            f"{abs(stroke.at.late):.0f} ms {'late' if stroke.at.late > 0 else 'early'} "
            f"at {names[onset]}"
            for onset in onsets
            for stroke in groups[onset]
            if onset not in crowded and self._is_off(stroke)
        ]
        if off:
            yield f"Off the count: {_listed(off)}."

    def _events_in(self, group: list[_GridStroke]) -> int:
        """How many strokes, or strokes played together, share one place."""
        events, last = 0, -1
        for tick in sorted(stroke.blow.tick for stroke in group):
            events += last < 0 or not self._together(last, tick)
            last = tick
        return events

    def _together(self, tick: int, later: int) -> bool:
        apart = self.clock.milliseconds(later) - self.clock.milliseconds(tick)
        near = self._quarters(later - tick) <= _TOGETHER_QUARTERS
        return near and apart <= _TOGETHER_MS

    def _is_off(self, stroke: _GridStroke) -> bool:
        deviation = self.fit.deviation if self.fit else 0.0
        return abs(stroke.at.late) > max(_OFF_MS, _OFF_DEVIATIONS * deviation)


def _listed(words: list[str]) -> str:
    """The first few; a measure that fits nowhere is not listed stroke by stroke."""
    shown = words[:4]
    rest = len(words) - len(shown)
    return ", ".join(shown) + (f" and {rest} more" if rest else "")
