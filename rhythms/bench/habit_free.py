"""Students without habits, of whom nothing is to be said, and students with planted ones."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random

from rhythms.bench.real_takes import RealTake, plays_of
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface, draw
from rhythms.engine.comfort import PlayedFill, Playing, Zone, comfort_zone

STUDENTS, TAKES = 40, 30
PLANTED, OF_TEN = 25, 6
_KIT = Kit.standard()
_FIRST_DAY = date(2026, 9, 7)
_COUNTS = (
    "1 & 2 e & a 3 & 4 e & a",
    "1 & a 2 & a 3 & a 4 & a",
    "1 e & 2 e & 3 e & 4 e &",
    "1 e & a 2 e & a 3 e & a 4 e & a",
)
#: Fills of drummers on each bar, of which a student plays some.
_POOL = 300
Spaces = Sequence[FillSpace]


@dataclass(frozen=True)
class _Kind:
    """A kind of students: what one of them plays in each take, and what they were given."""

    name: str
    play: Callable[[Random], PlayedFill]
    given: Spaces = ()


def habits_section(takes: Sequence[RealTake]) -> Iterator[str]:
    """The lines of the section: of how many students without habits something is said, and in how
    many with a planted one it is found."""
    yield f"Students without habits, {TAKES} takes each: of whom something is said"
    for kind in _habit_free(takes):
        zones = [_zone(kind, seed) for seed in range(STUDENTS)]
        told = [zone.sentences[0] for zone in zones if zone.sentences]
        example = f"; such as: {told[0]}" if told else ""
        yield f"  {kind.name}: {len(told)} of {STUDENTS}{example}"
    yield f"With a habit in {OF_TEN} of 10 fills, {TAKES} takes each: in whom it is found"
    for name, plant, words in _HABITS:
        kind = _with(name, plant)
        zones = [_zone(kind, seed) for seed in range(PLANTED)]
        found = sum(any(words in sentence for sentence in zone.sentences) for zone in zones)
        yield f"  {name}: {found} of {PLANTED}"


def _zone(kind: _Kind, seed: int) -> Zone:
    random = Random(f"{kind.name} {seed}")  # noqa: S311 - reproducible
    plays = [
        kind.play(random)._replace(day=_FIRST_DAY + timedelta(days=n), take=str(n))
        for n in range(TAKES)
    ]
    zone = comfort_zone(Playing.of(plays), kind.given, _KIT)
    if zone is None:
        raise AssertionError(f"{TAKES} takes are enough.")
    return zone


def _habit_free(takes: Sequence[RealTake]) -> Iterator[_Kind]:
    spaces = [FillSpace(Bar.from_counts(counts), RuleSet(()), _KIT) for counts in _COUNTS]
    pools = [draw(space, _POOL, "a student") for space in spaces]
    yield _Kind("as drummers would on four bars", lambda r: _play(r.choice(r.choice(pools))))
    yield _Kind(
        "anything on four bars that were given",
        lambda r: _play(r.choice(spaces).sample(1, r.getrandbits(32))[0]),
        spaces,
    )
    yield _Kind(
        "the picks they were assigned",
        lambda r: _as_asked(r.choice(r.choice(pools))),
        spaces,
    )
    players = [
        list(plays_of([take for take in takes if take.player == name]))
        for name in sorted({take.player for take in takes})
    ]
    yield _Kind(
        "fills of all players by turns", lambda r: r.choice(r.choice(players))._replace(seconds=4.0)
    )


def _play(fill: Fill) -> PlayedFill:
    return PlayedFill(fill, _FIRST_DAY, 4.0, "")


def _as_asked(fill: Fill) -> PlayedFill:
    return _play(fill)._replace(asked=fill)


def _with(name: str, plant: Callable[[Fill], Fill]) -> _Kind:
    spaces = [FillSpace(Bar.from_counts(counts), RuleSet(()), _KIT) for counts in _COUNTS]
    pools = [draw(space, _POOL, "a student") for space in spaces]

    def play(random: Random) -> PlayedFill:
        fill = random.choice(random.choice(pools))
        return _play(plant(fill) if random.random() < OF_TEN / 10 else fill)

    return _Kind(name, play)


def _struck(fill: Fill, at: Callable[[float, int], Surface | None]) -> Fill:
    """The fill with some strokes elsewhere; by onset in quarters, and place from the end."""
    strokes = tuple(
        Stroke(at(float(note.onset), place - len(fill.strokes)) or stroke.surface)
        for place, (note, stroke) in enumerate(zip(fill.bar.sounded, fill.strokes, strict=True))
    )
    return replace(fill, strokes=strokes)


def _ends_on_the_crash(fill: Fill) -> Fill:
    return _struck(fill, lambda _, last: Surface.CRASH if last == -1 else None)


def _begins_on_the_floor_tom(fill: Fill) -> Fill:
    return _struck(fill, lambda onset, _: Surface.FLOOR_TOM if onset == 0 else None)


def _walks_down(fill: Fill) -> Fill:
    down = (Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM)
    late = [note.onset for note in fill.bar.sounded if note.onset >= 2]
    where = {onset: down[3 * place // len(late)] for place, onset in enumerate(late)}
    return _struck(fill, lambda onset, _: where.get(onset))  # type: ignore[call-overload]


def _stays_on_the_snare(fill: Fill) -> Fill:
    return _struck(fill, lambda *_: Surface.SNARE)


_HABITS: tuple[tuple[str, Callable[[Fill], Fill], str], ...] = (
    ("ends on the crash", _ends_on_the_crash, "Ends on the crash"),
    ("begins on the floor tom", _begins_on_the_floor_tom, "Begins on the floor tom"),
    ("walks down from beat 3", _walks_down, "Walks down the toms"),
    ("never leaves the snare", _stays_on_the_snare, "ever leaves the snare"),
)
