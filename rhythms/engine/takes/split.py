"""Groove and fill separated, bar by bar and beat by beat.

A groove comes back: two bars or more are alike, and a hand keeps time through them. Where none
does, as under a train beat on the snare, a bar is groove that is left and taken up again. What
breaks off from it is a fill; a bar of hi-hat or ride alone is one too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.kits.surfaces import FAMILIES, FEET, Surface
from rhythms.engine.takes.played_phrases import Cells, PlayedPhrase, cells_of, phrases_in, same
from rhythms.engine.takes.stroke_reading import PlacedHit

#: Bars at least this alike are the same groove where something keeps time; where nothing does,
#: bars are the same that are as alike as beats must be for a groove that goes on into a bar.
SAME_GROOVE, SAME_BEAT = 0.6, 0.7
#: What a hand keeps time on. A foot keeps time under fills as well.
TIMEKEEPERS = (
    Surface.HI_HAT,
    Surface.RIDE,
    Surface.RIDE_BELL,
    Surface.CRASH,
    Surface.COWBELL,
)
_TOMS = FAMILIES["toms"]
_ON_BEATS, _BETWEEN = "on the beats", "between them"
#: As many strokes of hands as make a fill; fewer are a landing or a slip. So many beside the
#: groove's lead into a fill that goes on behind the bar line.
FEWEST, AN_UPBEAT = 3, 2
#: So many bars that are alike are a groove.
_A_GROOVE = 2
#: The groove is sought among so many different bars, those that come most often.
MOST_MODELS = 300


@dataclass(frozen=True)
class Split:
    """The bars of groove by number, and the phrases that are played in others.

    What is neither is silent, or has too little in it.
    """

    groove: tuple[int, ...]
    phrases: tuple[PlayedPhrase, ...] = ()

    @cached_property
    def fill_bars(self) -> frozenset[int]:
        """All bars with something of a phrase."""
        return frozenset(bar for phrase in self.phrases for bar in phrase.bars)


@dataclass(frozen=True)
class _Groove:
    """A bar of the groove, empty where there is none, and how much others of it are alike."""

    model: Cells
    alike: float
    meter: Meter

    @cached_property
    def kept_on(self) -> str:
        """Where something keeps time in it; "" where nothing does."""
        return _kept_on(self.model, self.meter)

    def often(self, bars: Iterable[Cells]) -> int:
        """How many bars are like it; none where there is none."""
        return sum(same(one, self.model) >= self.alike for one in bars) if self.model else 0

    def has(self, cells: Cells) -> bool:
        """Whether a bar is one of it: like it, or with something that keeps time where it does."""
        if same(cells, self.model) >= self.alike:
            return True
        return bool(self.kept_on) and _kept_on(cells, self.meter) == self.kept_on

    def goes_on(self, cells: Cells, beat: Beat) -> bool:
        """Whether a beat of a bar is as it has it; a landing may come with it."""
        here, there = _in_beat(cells, beat), _in_beat(self.model, beat)
        landing = frozenset(cell for cell in here if cell[1] is not Surface.CRASH)
        return max(same(here, there), same(landing, there)) >= SAME_BEAT

    @cached_property
    def keepers(self) -> frozenset[Surface]:
        """What it may keep time on."""
        return frozenset(surface for _, surface in self.model if surface in TIMEKEEPERS)


def split(placed: Sequence[PlacedHit], meter: Meter) -> Split:
    """Which bars keep time, and what is played in the others once it leaves the groove.

    ``meter`` is that of one bar. Without a groove all that has strokes enough is fills.
    """
    bars: dict[int, list[PlacedHit]] = {}
    for each in placed:
        bars.setdefault(each.bar, []).append(each)
    cells = {bar: cells_of(bars[bar]) for bar in sorted(bars)}
    groove = _groove(cells, meter)
    left = _left(cells, groove)
    inside = {
        bar: [each for each in bars[bar] if start <= each.onset < end]
        for bar, (start, end) in left.items()
    }
    phrases = phrases_in(inside, meter)
    return Split(
        tuple(bar for bar in cells if bar not in left),
        tuple(phrase for phrase in phrases if len(phrase.hand_onsets) >= FEWEST),
    )


def _left(cells: Mapping[int, Cells], groove: _Groove) -> dict[int, tuple[Fraction, Fraction]]:
    """From where to where each bar is left by the groove, in quarters, of those that are."""
    whole = groove.meter.length
    if not groove.model:
        return {bar: (Fraction(0), whole) for bar in cells}
    away = {bar for bar, struck in cells.items() if not groove.has(struck)}
    upbeats = {
        bar: start
        for bar in cells
        if bar not in away
        and (start := _upbeat(cells[bar], groove, goes_on=bar + 1 in away)) is not None
    }
    found = {}
    for bar in cells:
        if bar in upbeats:
            found[bar] = (upbeats[bar], whole)
        elif bar in away:
            goes_on_from = bar - 1 in away or bar - 1 in upbeats
            goes_on = bar + 1 in away or bar + 1 not in cells
            found[bar] = (
                Fraction(0) if goes_on_from else _leaves_at(cells[bar], groove),
                whole if goes_on else _comes_back_at(cells[bar], groove),
            )
    return found


def _leaves_at(cells: Cells, groove: _Groove) -> Fraction:
    """The beat at which a bar leaves the groove, in quarters."""
    beats = (beat.onset for beat in groove.meter.beats if not groove.goes_on(cells, beat))
    return next(beats, Fraction(0))


def _comes_back_at(cells: Cells, groove: _Groove) -> Fraction:
    """The beat from which the groove is in a bar again, in quarters; its end where it is not."""
    back = groove.meter.length
    for beat in reversed(groove.meter.beats):
        kept = any(surface in groove.keepers for _, surface in _in_beat(cells, beat))
        if not (kept and groove.goes_on(cells, beat)):
            return back
        back = beat.onset
    return groove.meter.length


def _upbeat(cells: Cells, groove: _Groove, *, goes_on: bool) -> Fraction | None:
    """The beat from which on nothing keeps time in a bar of groove, where a fill is in its stead.

    A few strokes are one where the fill ``goes_on`` behind the bar line.
    """
    start, new = None, set[Fraction]()
    for beat in reversed(groove.meter.beats):
        here = _in_beat(cells, beat)
        kept = [onset for onset, surface in here & groove.model if surface in groove.keepers]
        if groove.goes_on(cells, beat) or any(onset > beat.onset for onset in kept):
            break
        new |= {
            onset
            for onset, surface in here - groove.model
            if surface not in FEET and surface not in groove.keepers
        }
        start = beat.onset
        if kept:
            break
    return start if len(new) >= (AN_UPBEAT if goes_on else FEWEST) else None


def _in_beat(cells: Cells, beat: Beat) -> Cells:
    return frozenset(cell for cell in cells if beat.onset <= cell[0] < beat.end)


def _groove(cells: Mapping[int, Cells], meter: Meter) -> _Groove:
    """The bar that most others are like: of two or more in which something keeps time, or of those
    that come back, whichever are more."""
    keeping = [struck for struck in cells.values() if _kept_on(struck, meter)]
    kept = _Groove(_most_alike(keeping), SAME_GROOVE, meter)
    if kept.often(keeping) < _A_GROOVE:
        kept = replace(kept, model=frozenset())
    model = _most_alike(cells.values())
    back = _Groove(model if _comes_back(model, cells) else frozenset(), SAME_BEAT, meter)
    return back if back.often(cells.values()) > kept.often(cells.values()) else kept


def _most_alike(bars: Iterable[Cells]) -> Cells:
    often = Counter(bars)
    commonest = {model for model, _ in often.most_common(MOST_MODELS)}
    models = [model for model in often if model in commonest]
    likes = [sum(often[other] * same(model, other) for other in models) for model in models]
    return models[likes.index(max(likes))] if models else frozenset()


def _comes_back(model: Cells, cells: Mapping[int, Cells]) -> bool:
    """Whether half of the bars or more are like it, and it goes on for bars more than once.

    A fill that is played again and again, alone, is not left in between. The landing of the last
    fill is no bar.
    """
    bars = sum(len(struck) >= FEWEST for struck in cells.values())
    alike = [bar for bar in cells if same(cells[bar], model) >= SAME_BEAT]
    going_on = [bar for bar, after in pairwise(alike) if after == bar + 1]
    runs = sum(bar - 1 not in going_on for bar in going_on)
    return 2 * len(alike) >= bars and runs > 1


def _kept_on(cells: Cells, meter: Meter) -> str:
    """Where there is one timekeeper three of four times or more, open or closed, and hardly a tom:
    on the beats, else between them; "" where there is none."""
    if sum(surface in _TOMS for _, surface in cells) > 1:
        return ""
    places = {beat.onset: _ON_BEATS for beat in meter.beats}
    if not meter.in_eighths:
        places |= {beat.onset + beat.length / 2: _BETWEEN for beat in meter.beats}
    often = Counter(
        (surface, places[onset])
        for onset, surface in cells
        if surface in TIMEKEEPERS and onset in places
    )
    kept = {where for (_, where), times in often.items() if times >= 0.75 * len(meter.beats)}
    return next((where for where in (_ON_BEATS, _BETWEEN) if where in kept), "")
