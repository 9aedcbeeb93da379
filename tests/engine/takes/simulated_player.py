"""A player made up: a fill in its block, with errors that we put in and so know."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from itertools import pairwise
from random import Random

from rhythms.engine import Fill, Surface
from rhythms.engine.kits.surfaces import FEET
from rhythms.engine.playback.groove import Groove
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block, Sound

KEYS = {
    Surface.SNARE: 38,
    Surface.HIGH_TOM: 48,
    Surface.MID_TOM: 45,
    Surface.FLOOR_TOM: 43,
    Surface.HI_HAT: 42,
    Surface.RIDE: 51,
    Surface.RIDE_BELL: 53,
    Surface.CRASH: 49,
    Surface.COWBELL: 56,
    Surface.CROSS_STICK: 37,
    Surface.BASS_DRUM: 36,
    Surface.HI_HAT_FOOT: 44,
    Surface.OPEN_HI_HAT: 46,
}
VELOCITY = {"ghost": 35, "normal": 80, "accent": 118}
HANDS = (Surface.SNARE, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM, Surface.RIDE)


@dataclass(frozen=True)
class Errors:
    """Chances per note, times in ms; `drift` is how much slower each bar is than the last."""

    jitter: float = 6.0
    drops: float = 0.0
    swaps: float = 0.0
    extras: float = 0.0
    drift: float = 0.0
    late: float = 0.0
    pickup: bool = False


@dataclass
class Played:
    """Events as a kit sends them, and the truth: of each time the fill was played, each note's
    outcome, and the times of what was extra."""

    events: list[tuple[float, int, int]] = field(default_factory=list)
    outcomes: list[list[str]] = field(default_factory=list)
    extras: set[float] = field(default_factory=set)
    start: float = 0.0


def play(
    fill: Fill,
    tempo: float,
    errors: Errors,
    seed: int,
    *,
    bars: int = 4,
    loops: int = 2,
    start: float = 700.0,
    groove: Groove | None = None,
) -> Played:
    """`loops` blocks of `bars` bars (1: the fill alone), from `start` ms on."""
    random, made = Random(seed), Played(start=start)
    block = Block(fill, groove or grooves_for(fill.bar.meter.one_bar)[0], bars)
    clock = _Clock(start, 60_000 / tempo, float(block.meter.length), errors.drift)
    if errors.pickup:
        made.events += [
            (clock.at(-q) + random.gauss(0, errors.jitter), 38, 80) for q in (0.5, 0.25)
        ]
    for loop in range(loops):
        _one_block(made, block, loop, clock, errors, random)
    made.events.sort()
    return made


@dataclass(frozen=True)
class _Clock:
    start: float
    quarter: float
    bar: float
    drift: float

    def at(self, quarters: float) -> float:
        bars = quarters / self.bar
        return self.start + self.quarter * quarters * (1 + self.drift * max(bars, 0) / 2)


def _one_block(
    made: Played, block: Block, loop: int, clock: _Clock, errors: Errors, random: Random
) -> None:
    outcomes = ["right"] * len(block.fill.strokes)
    origin = float(loop * block.length)
    dropped: set[int] = set()
    for sound in block.sounds:
        if sound.onset >= block.length and block.bars == 1:
            continue
        _one_sound(made, sound, (origin, clock), (outcomes, dropped), errors, random)
    made.outcomes.append(outcomes)
    _put_in_extras(made, block, (origin, clock), errors, random)


def _one_sound(made, sound: Sound, when, fate, errors: Errors, random: Random) -> None:
    (origin, clock), (outcomes, dropped) = when, fate
    surface, note = sound.surface, sound.note
    if note is not None and note not in dropped and not sound.grace:
        chance = random.random()
        if chance < errors.drops:
            outcomes[note] = "missed"
            dropped.add(note)
        elif chance < errors.drops + errors.swaps and surface not in FEET:
            outcomes[note] = "wrong"
            surface = random.choice([other for other in HANDS if other is not surface])
    if note in dropped:
        return
    ms = clock.at(origin + float(sound.onset)) + random.gauss(0, errors.jitter) + errors.late
    velocity = VELOCITY[sound.dynamic] + random.randint(-6, 6)
    made.events.append((ms, KEYS[surface], velocity))


def _put_in_extras(made, block: Block, when, errors: Errors, random: Random) -> None:
    """Between two notes, never on one: a stroke there would be a note."""
    origin, clock = when
    onsets = [float(note.onset) for note in block.fill.bar.sounded]
    for here, then in pairwise(onsets):
        if then - here >= 0.5 and random.random() < errors.extras:
            ms = clock.at(origin + float(block.fill_onset) + (here + then) / 2) + errors.late
            made.events.append((ms, KEYS[random.choice(HANDS)], 80))
            made.extras.add(ms)


class Confusion:
    """Truth against verdict, class by class."""

    def __init__(self) -> None:
        self.seen: Counter[tuple[str, str]] = Counter()

    def add(self, truth: str, verdict: str) -> None:
        self.seen[truth, verdict] += 1

    def precision(self, name: str) -> float:
        called = sum(n for (_, verdict), n in self.seen.items() if verdict == name)
        return self.seen[name, name] / called if called else 1.0

    def recall(self, name: str) -> float:
        there = sum(n for (truth, _), n in self.seen.items() if truth == name)
        return self.seen[name, name] / there if there else 1.0

    def count(self, name: str) -> int:
        return sum(n for (truth, _), n in self.seen.items() if truth == name)

    def table(self) -> str:
        rows = [f"{'class':8} {'true':>6} {'precision':>10} {'recall':>8}"]
        rows += [
            f"{name:8} {self.count(name):6} {self.precision(name):10.3f} {self.recall(name):8.3f}"
            for name in ("right", "missed", "wrong", "extra")
        ]
        return "\n".join(rows)
