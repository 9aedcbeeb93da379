"""What sounds when: the one truth behind the player, MIDI and audio files."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove import Groove, GrooveError, landing_on

#: From one grace note to the next, and to the stroke, in quarters: 30 ms at 100 a minute.
GRACE = Fraction(1, 20)
#: Bars of groove and fill together, by common practice.
BLOCK_BARS = (4, 8, 12, 16)
#: How many grace notes an ornament has.
GRACES = {"flam": 1, "drag": 2}


class Sound(NamedTuple):
    """One sound: grace notes and both strokes of a diddle count singly.

    ``onset`` in quarter lengths from the start; ``note`` the index of the fill's stroke it
    belongs to, None for groove and landing. A grace note is as soft as a ghost.
    """

    onset: Fraction
    surface: Surface
    dynamic: str
    note: int | None = None
    grace: bool = False


def fill_timeline(fill: Fill, last: Fraction = Fraction(0)) -> tuple[Sound, ...]:
    """Everything that sounds in the fill, in order; onsets from its bar line.

    Strokes stand on their exact onsets, grace notes before them. ``last`` is the onset of the
    sound before the fill (below 0 before the bar line), after which there is room for the grace
    notes of its first stroke. Without room they take its place, and the stroke follows late.
    """
    played: list[Sound] = []
    lengths = [note.length for note in fill.bar.notes if not (note.rest or note.tie)]
    for note, length, stroke in zip(fill.bar.sounded, lengths, fill.strokes, strict=True):
        before = played[-1].onset if played else last
        late, step = _grace_step(stroke, note.onset - before, length)
        played += _sounds(stroke, note.index, note.onset + late, step)
        if stroke.ornament == "diddle":
            played.append(
                Sound(note.onset + length / 2, stroke.surface, stroke.dynamic, note.index)
            )
    return tuple(played)


def _grace_step(stroke: Stroke, room: Fraction, length: Fraction) -> tuple[Fraction, Fraction]:
    """How late the stroke comes, and the time between its grace notes."""
    graces = GRACES.get(stroke.ornament or "", 0)
    step = min(GRACE, (room or length) / (graces + 1))
    return (Fraction(0) if room else graces * step), step


def _sounds(stroke: Stroke, index: int, at: Fraction, step: Fraction) -> Iterator[Sound]:
    for number in range(GRACES.get(stroke.ornament or "", 0), 0, -1):
        yield Sound(at - number * step, stroke.surface, "ghost", index, grace=True)
    yield Sound(at, stroke.surface, stroke.dynamic, index)


@dataclass(frozen=True)
class Block:
    """Groove until the fill starts in its bar, the fill, and the landing on *one* after it.

    ``bars`` counts groove and fill together, as many as the fill has for the fill alone;
    ``surfaces`` is what the kit has, all of them by default. Raises GrooveError where groove and
    fill differ in meter or there are fewer bars than the fill has.
    """

    fill: Fill
    groove: Groove
    bars: int = 4
    surfaces: tuple[Surface, ...] = tuple(Surface)

    def __post_init__(self) -> None:
        if self.groove.meter != self.meter:
            raise GrooveError(
                f"A groove in {self.groove.meter} does not lead to a fill in {self.meter}."
            )
        if self.bars < self.fill_bars:
            raise GrooveError("A block has at least the bars of the fill.")

    @property
    def meter(self) -> Meter:
        """The meter of every bar."""
        return self.fill.bar.meter.one_bar

    @property
    def fill_bars(self) -> int:
        """How many bars the fill has, groove before a late one among them."""
        return self.fill.bar.meter.bars

    @property
    def _alone(self) -> bool:
        return self.bars == self.fill_bars

    @property
    def length(self) -> Fraction:
        """Quarters from the start to the *one* after the fill, where the landing is."""
        return self.bars * self.meter.length

    @property
    def fill_onset(self) -> Fraction:
        """Quarters from the start to the fill's bar line."""
        return self.length - self.fill.bar.meter.length

    @property
    def groove_bar(self) -> tuple[Sound, ...]:
        """One bar of groove on this kit, onsets from its bar line."""
        return tuple(Sound(*hit) for hit in self.groove.on(self.surfaces).hits)

    @property
    def lead_in(self) -> tuple[Sound, ...]:
        """The groove that goes on from the fill's bar line until it starts; none for it alone."""
        if self._alone:
            return ()
        groove = self._groove(self.fill_bars)
        return tuple(sound for sound in groove if sound.onset < self.fill.bar.starts_at)

    def _groove(self, bars: int) -> list[Sound]:
        return [_later(hit, k * self.meter.length) for k in range(bars) for hit in self.groove_bar]

    @property
    def fill_bar(self) -> tuple[Sound, ...]:
        """The fill, onsets from its bar line: below 0 for grace notes over the bar line."""
        before = [sound.onset - self.meter.length for sound in self.groove_bar]
        played = [*before, *(sound.onset for sound in self.lead_in)]
        return fill_timeline(self.fill, played[-1] if played and not self._alone else Fraction(0))

    @property
    def landing(self) -> tuple[Sound, ...]:
        """Crash and bass drum, onsets from the *one* after the fill."""
        return tuple(
            Sound(Fraction(0), surface, "accent" if surface == landing[0] else "normal")
            for landing in [landing_on(self.surfaces)]
            for surface in landing
        )

    @property
    def sounds(self) -> tuple[Sound, ...]:
        """The whole block once, in order."""
        groove = self._groove(self.bars - self.fill_bars)
        last = [_later(sound, self.fill_onset) for sound in (*self.lead_in, *self.fill_bar)]
        return tuple(groove + last + [_later(sound, self.length) for sound in self.landing])


def _later(sound: Sound, by: Fraction) -> Sound:
    return sound._replace(onset=sound.onset + by)
