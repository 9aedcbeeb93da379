"""What sounds when: the one truth behind the player, MIDI and audio files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import ceil
from operator import attrgetter
from typing import NamedTuple

from rhythms.engine.bars.bar import Sounded
from rhythms.engine.bars.feel import STRAIGHT, Feel, Warp
from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.surfaces import OPEN_HATS, Surface
from rhythms.engine.playback.groove import Groove, GrooveError, GrooveHit, in_order
from rhythms.engine.playback.stand_ins import landing_on

#: From one grace note to the next, and to the stroke, in quarters: 30 ms at 100 a minute.
GRACE = Fraction(1, 20)
#: Bars of groove and fill together, by common practice.
BLOCK_BARS = (4, 8, 12, 16)
#: From one bounce of a buzz to the next, in quarters: as close as grace notes, or closer where it
#: is so short that fewer than these would be heard; and what is left before what comes after it.
BOUNCE, FEWEST_BOUNCES, AFTER_A_BUZZ = GRACE, 3, Fraction(1, 16)
#: How many grace notes an ornament has.
GRACES = {"flam": 1, "drag": 2}


class Sound(NamedTuple):
    """One sound: each of what is struck together counts singly, and so do grace notes, both strokes
    of a diddle and a buzz's bounces.

    ``onset`` in quarter lengths from the start; ``note`` the index of the fill's stroke it
    belongs to, None for groove, landing and feet that keep going. A grace note is as soft as a
    ghost, and so are bounces, which come after their stroke.
    """

    onset: Fraction
    surface: Surface
    dynamic: str
    note: int | None = None
    grace: bool = False


def fill_timeline(
    fill: Fill, last: Fraction = Fraction(0), feel: Feel = STRAIGHT
) -> tuple[Sound, ...]:
    """Everything that sounds in the fill, in order; onsets from its bar line.

    Strokes stand where the feel has their exact onsets, grace notes before them; feet that keep
    going are among them, as sounds of no stroke. ``last`` is the
    onset, as written, of the sound before the fill (below 0 before the bar line), after which there
    is room for the grace notes of its first stroke. Without room they take its place, and the
    stroke follows late.
    """
    warp = None if feel.is_straight else feel.warp_of(fill.bar)
    going = [Sound(*hit) for hit in fill.going_on]
    played, feet = (
        swung(sounds, warp) if warp else tuple(sounds)
        for sounds in (_as_written(fill, last), going)
    )
    return tuple(sorted((*played, *feet), key=_onset)) if feet else played


def swung(sounds: Sequence[Sound], warp: Warp) -> tuple[Sound, ...]:
    """The sounds, in order and as written, where they are heard.

    Grace notes stay as near to the stroke after them as without swing; nearer where the stroke
    before would leave no room. ``static/js/player/feel.js`` does the same.
    """
    played: list[Sound] = []
    graces: list[Sound] = []
    before: Fraction | None = None
    for sound in sounds:
        if sound.grace:
            graces.append(sound)
            continue
        at = warp.sounding(sound.onset)
        closer = _squeeze(graces, sound, None if before is None else at - before)
        played += [one._replace(onset=at - (sound.onset - one.onset) * closer) for one in graces]
        played.append(sound._replace(onset=at))
        before, graces = at, []
    return tuple(played)


def _squeeze(graces: Sequence[Sound], stroke: Sound, room: Fraction | None) -> Fraction:
    """How much closer grace notes come: they share their room evenly, where it is too small."""
    if not graces or not room:
        return Fraction(1)
    lead = stroke.onset - graces[0].onset
    return min(Fraction(1), room * len(graces) / (len(graces) + 1) / lead)


def _as_written(fill: Fill, last: Fraction) -> list[Sound]:
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
        if stroke.ornament == "buzz":
            played += _bounces(stroke, note, _graces_at(fill, note.index + 1, note.end))
    return played


def _graces_at(fill: Fill, index: int, onset: Fraction) -> int:
    """How many grace notes lead to stroke ``index``, where that is struck at ``onset``."""
    if index == len(fill.strokes) or fill.bar.sounded[index].onset != onset:
        return 0
    return GRACES.get(fill.strokes[index].ornament or "", 0)


def _bounces(stroke: Stroke, note: Sounded, graces: int) -> Iterator[Sound]:
    """A soft roll inside the note, up to the grace notes there may be at its end."""
    lasting = max(note.length - AFTER_A_BUZZ - graces * GRACE, note.length / 4)
    number = max(FEWEST_BOUNCES, ceil(lasting / BOUNCE))
    for bounce in range(1, number + 1):
        at = note.onset + lasting * bounce / number
        yield Sound(at, stroke.surface, "ghost", note.index)


def _grace_step(stroke: Stroke, room: Fraction, length: Fraction) -> tuple[Fraction, Fraction]:
    """How late the stroke comes, and the time between its grace notes."""
    graces = GRACES.get(stroke.ornament or "", 0)
    step = min(GRACE, (room or length) / (graces + 1))
    return (Fraction(0) if room else graces * step), step


def _sounds(stroke: Stroke, index: int, at: Fraction, step: Fraction) -> Iterator[Sound]:
    for number in range(GRACES.get(stroke.ornament or "", 0), 0, -1):
        yield Sound(at - number * step, stroke.surface, "ghost", index, grace=True)
    for hit in stroke.hits:
        yield Sound(at, hit.surface, hit.dynamic, index)


@dataclass(frozen=True)
class Block:
    """Groove until the fill starts in its bar, the fill, and the landing on *one* after it.

    ``bars`` counts groove and fill together, as many as the fill has for the fill alone;
    ``surfaces`` is what the kit has, all of them by default; ``feel`` is that of groove and fill.
    ``sets_up``: the last whole bar of groove leads into the fill, in a phrase into each of them,
    where the groove has such a bar.
    Raises GrooveError where groove and fill differ in meter or there are fewer bars than the fill
    has.
    """

    fill: Fill
    groove: Groove
    bars: int = 4
    surfaces: tuple[Surface, ...] = tuple(Surface)
    feel: Feel = STRAIGHT
    sets_up: bool = False

    def __post_init__(self) -> None:
        if self.groove.meter.one_bar != self.meter:
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

    def groove_bar(self, number: int = 0) -> tuple[Sound, ...]:
        """What is played of the groove in bar ``number`` of the block, counted from 0.

        On this kit, onsets from its bar line.
        """
        written = [Sound(*hit) for hit in self.groove_hits(number)]
        return swung(written, self.feel.warp(self.meter, [hit.onset for hit in written]))

    def groove_hits(self, number: int) -> list[GrooveHit]:
        """The same as it is written, without a feel."""
        played = self._groove_on_kit.in_bar(number, setting_up=number in self.setting_up)
        held_open = {hit.onset for hit in played if hit.surface in OPEN_HATS}
        feet = (
            hit
            for hit in self._free_feet
            if hit.surface is not Surface.HI_HAT_FOOT or hit.onset not in held_open
        )
        return list(in_order((*played, *feet)))

    @cached_property
    def _free_feet(self) -> tuple[GrooveHit, ...]:
        """What feet that keep going play in each bar of groove: a foot that the groove needs is
        the groove's until the fill starts, and so is a hi-hat where the groove has it open."""
        going = self.fill.ostinato
        taken = {hit.surface for hit in self._groove_on_kit.hits}
        return tuple(
            GrooveHit(*hit) for hit in (going.hits if going else ()) if hit.surface not in taken
        )

    @cached_property
    def _groove_on_kit(self) -> Groove:
        return self.groove.on(self.surfaces)

    @cached_property
    def before_fills(self) -> tuple[int, ...]:
        """The last whole bar of groove before each fill, counted from 0."""
        first = self.bars - self.fill_bars
        return tuple(first + bar for bar in self.fill.bar.leading_bars if first + bar >= 0)

    @property
    def setting_up(self) -> tuple[int, ...]:
        """Which bars lead into a fill, counted from 0."""
        return self.before_fills if self.sets_up and self.groove.setups else ()

    @property
    def lead_in(self) -> tuple[Sound, ...]:
        """The groove that goes on in the fill's bars: until it starts, and between the fills of a
        phrase.
        """
        warp = self.feel.warp_of(self.fill.bar)
        spans = [tuple(map(warp.sounding, span)) for span in self.fill.bar.groove_spans]
        going_on = self._groove(self.bars - self.fill_bars, self.fill_bars)
        return tuple(
            one for one in going_on if any(start <= one.onset < end for start, end in spans)
        )

    def _groove(self, first: int, bars: int) -> list[Sound]:
        """Some bars of groove, onsets from the bar line of the ``first``."""
        return [
            _later(hit, number * self.meter.length)
            for number in range(bars)
            for hit in self.groove_bar(first + number)
        ]

    @property
    def fill_bar(self) -> tuple[Sound, ...]:
        """The fill, onsets from its bar line: below 0 for grace notes over the bar line."""
        return fill_timeline(self.fill, self._last_before, self.feel)

    @property
    def _last_before(self) -> Fraction:
        """The onset, as written, of the groove's last sound before the fill; 0 without any."""
        bars = range(0 if self._alone else -1, self.fill_bars)
        first = self.bars - self.fill_bars
        onsets = (
            hit.onset + bar * self.meter.length
            for bar in bars
            for hit in self.groove_hits(first + bar)
        )
        before = [onset for onset in onsets if onset < self.fill.bar.starts_at]
        return max(before, default=Fraction(0))

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
        groove = self._groove(0, self.bars - self.fill_bars)
        ending = sorted((*self.lead_in, *self.fill_bar), key=lambda sound: sound.onset)
        last = [_later(sound, self.fill_onset) for sound in ending]
        return tuple(groove + last + [_later(sound, self.length) for sound in self.landing])


_onset = attrgetter("onset")


def _later(sound: Sound, by: Fraction) -> Sound:
    return sound._replace(onset=sound.onset + by)
