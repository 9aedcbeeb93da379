"""Takes of one fill with faults that are planted, and so known; and takes without any.

What advice is worth is seen by both: a planted fault must be the one that is told, and noise alone
must not be told as a place (`manage.py advice_simulation` prints how often it is).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from random import Random

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Surface
from rhythms.engine.takes import USUAL_KEYS, Recording, analyse
from rhythms.engine.takes.advice import Advice, advise
from rhythms.engine.takes.note_faults import TimesThrough
from rhythms.engine.takes.touch_levels import TouchLevels

TEMPO, TIMES = 88, 4
COUNTS = "1 & 2 e & a 3 & a 4 e & a"
_KIT = Kit.standard()
_KEYS = {surface: key for key, surface in reversed(USUAL_KEYS.items())}
_VELOCITY = {"ghost": 34, "normal": 78, "accent": 116}
_START = 500.0
#: Of no habit: spread in ms, and the chances that a note is left out or goes elsewhere.
NOISE = (
    (6.0, 0.0, 0.0),
    (12.0, 0.0, 0.0),
    (12.0, 0.02, 0.01),
    (20.0, 0.0, 0.0),
    (20.0, 0.03, 0.02),
    (28.0, 0.05, 0.03),
)
#: What names a place that was gone wrong at, or a way of playing.
PLACES = ("left out", "other drum", "too much", "late", "early", "accent lost", "ghost loud")


@dataclass(frozen=True)
class Planted:
    """Faults by note, each with the times through that have it; times in ms, chances per note.

    ``run`` is how much later (sooner below 0) than in time the end of the bar comes.
    """

    spread: float = 6.0
    left_out: Mapping[int, frozenset[int]] = field(default_factory=dict)
    late: Mapping[int, tuple[float, frozenset[int]]] = field(default_factory=dict)
    elsewhere: Mapping[int, tuple[Surface, frozenset[int]]] = field(default_factory=dict)
    too_much: Mapping[int, frozenset[int]] = field(default_factory=dict)
    as_soft_as_all: Mapping[int, frozenset[int]] = field(default_factory=dict)
    run: float = 0.0
    drops: float = 0.0
    swaps: float = 0.0
    times: int = TIMES


def a_fill(seed: int, counts: str = COUNTS, rules: tuple[dict, ...] = ()) -> Fill:
    """Any fill of the standard kit."""
    space = FillSpace(Bar.from_counts(counts), RuleSet.from_json(list(rules)), _KIT)
    return space.sample(1, seed)[0]


def played(fill: Fill, planted: Planted, seed: int, tempo: float = TEMPO) -> Recording:
    """The fill over and over without groove, as a kit sends it, against a click."""
    random = Random(seed)  # noqa: S311 - the same each time
    strokes = sorted(
        stroke
        for time in range(planted.times)
        for stroke in _one_time(fill, planted, time, 60_000 / tempo, random)
    )
    return Recording(strokes, fill.bar.meter, _KIT, click=(tempo, _START), tempo=tempo)


def advice_on(fill: Fill, recording: Recording, jitter: float = 0.0) -> Advice | None:
    """What is said of a take, by way of its analysis."""
    found = analyse(recording, fill)
    if found.grid is None:
        return None
    attempts = [one.to_json() for one in found.attempts]
    touch = TouchLevels.of([int(velocity) for _, _, velocity in recording.events]).varies
    times = TimesThrough(fill, attempts, jitter, struck=found.fills, touch=touch)
    return advise(times, found.grid.tempo, told_by_a_click=True)


def told_of_noise(takes: int, spread: float, drops: float, swaps: float) -> Counter[str]:
    """How often each kind is told of players without a habit, over so many takes."""
    noise = Planted(spread=spread, drops=drops, swaps=swaps)
    told: Counter[str] = Counter()
    for seed in range(takes):
        fill = a_fill(seed)
        advice = advice_on(fill, played(fill, noise, seed))
        told[advice.kind if advice else "nothing"] += 1
    return told


def _one_time(
    fill: Fill, planted: Planted, time: int, quarter: float, random: Random
) -> Iterator[tuple[float, int, int]]:
    length = float(fill.bar.meter.length)
    for index, (note, stroke) in enumerate(zip(fill.bar.sounded, fill.strokes, strict=True)):
        onset = float(note.onset)
        ms = _START + quarter * (time * length + onset) + random.gauss(0, planted.spread)
        ms += planted.run * onset / length
        by, late_in = planted.late.get(index, (0.0, frozenset()))
        ms += by * (time in late_in)
        drum, there_in = planted.elsewhere.get(index, (stroke.surface, frozenset()))
        surface = drum if time in there_in else stroke.surface
        if random.random() < planted.swaps:
            surface = random.choice([one for one in _KIT.hand_surfaces if one is not surface])
        soft = time in planted.as_soft_as_all.get(index, ())
        velocity = _VELOCITY["normal" if soft else stroke.dynamic] + random.randint(-5, 5)
        if time in planted.left_out.get(index, ()) or random.random() < planted.drops:
            continue
        yield ms, _KEYS[surface], velocity
        if time in planted.too_much.get(index, ()):
            yield ms + 0.5 * quarter * float(note.length), _KEYS[surface], _VELOCITY["normal"]
