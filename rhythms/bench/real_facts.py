"""Do facts on drummers whom we know hold, tell them apart, and are none invented?

Each player is held against the others of the folder, and their rhythms against the prior without
them. A fact holds in other takes where it goes the same way there, and can be heard.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from statistics import fmean

from rhythms.bench.real_takes import RealTake, own_plays
from rhythms.engine import Kit
from rhythms.engine.comfort.expectation import Given
from rhythms.engine.comfort.facts import FROM_ALL, BesideWhom, Fact, facts
from rhythms.engine.comfort.people import Person, stats_of_people
from rhythms.engine.comfort.rhythm_chances import chances_without
from rhythms.engine.comfort.trait_table import OwnPlays
from rhythms.engine.comfort.trait_tests import OtherPeople, effect
from rhythms.engine.comfort.zone_sentences import MOST_SENTENCES, one_of_a_kind

SIZES = (8, 10, 20, 40, 80)
#: Times that takes are drawn for each figure.
TIMES = 10
_KIT = Kit.standard()
_NOTHING = Given(())


@dataclass(frozen=True)
class _Drummer:
    """One player's takes, and the others that they are held against."""

    name: str
    takes: Sequence[RealTake]
    others: Mapping[str, Person]

    def facts(self, takes: Sequence[RealTake]) -> tuple[Fact, ...]:
        """What stands out in some of their takes."""
        beside = BesideWhom(self.others, (), chances_without(self.name))
        return facts(own_plays(takes), _NOTHING, _KIT, beside)

    def holds(self, fact: Fact, own: OwnPlays) -> bool:
        """Whether a fact is so in other takes, to be heard."""
        there = own.stats(fact.trait)
        people = stats_of_people(fact.trait, self.others.values())
        if there is None or not people:
            return False
        counted = not fact.trait.is_amount
        beside = OtherPeople.of(people, counted=counted)
        far = effect(there.mean, beside.mean, beside.spread, counted=counted)
        return (far > 0) == fact.is_more and abs(far) >= FROM_ALL


def facts_section(takes: Sequence[RealTake]) -> Iterator[str]:
    """The lines of the section: each player whole, in halves, by style, and in a few takes."""
    drummers = list(_drummers(takes))
    if len(drummers) < 2:
        yield "Facts on players: one player alone has nobody to be held against."
        return
    for one in drummers:
        yield from _whole(one)
    yield ""
    yield from _halves(drummers)
    yield ""
    yield from _some_takes(drummers)


def _drummers(takes: Iterable[RealTake]) -> Iterator[_Drummer]:
    by_name: dict[str, list[RealTake]] = {}
    for take in takes:
        if take.analysis.fills:
            by_name.setdefault(take.player, []).append(take)
    known = {name: own_plays(theirs).all_stats() for name, theirs in by_name.items()}
    for name, theirs in sorted(by_name.items()):
        yield _Drummer(name, theirs, {other: known[other] for other in known if other != name})


def _whole(one: _Drummer) -> Iterator[str]:
    found = one.facts(one.takes)
    yield f"{one.name}, {len(one.takes)} takes: {len(found)} facts, of different kinds these"
    yield from (f"  {fact.far:+.2f}  {fact.sentence}" for fact in one_of_a_kind(found))
    by_style: dict[str, list[RealTake]] = {}
    for take in one.takes:
        by_style.setdefault(take.file.style.split("-")[0], []).append(take)
    for style, some in sorted(by_style.items()):
        told = one_of_a_kind(one.facts(some))[:MOST_SENTENCES]
        words = " ".join(fact.sentence for fact in told) or "nothing stands out."
        yield f"  {style}, {len(some)} takes: {words}"


def _halves(drummers: Sequence[_Drummer]) -> Iterator[str]:
    yield f"Halves of one player, {TIMES} times drawn"
    yield f"{'':<12}{'facts a half':>14}{'hold':>8}{'between halves':>16}"
    for one in drummers:
        number, held, between = [], [], []
        for turn in range(TIMES):
            half, other = _two_halves(one.takes, turn)
            found, there = one.facts(half), own_plays(other)
            number.append(len(found))
            held += [one.holds(fact, there) for fact in found]
            beside = BesideWhom({"the other half": there.all_stats()}, (), chances_without(""))
            between.append(len(facts(own_plays(half), _NOTHING, _KIT, beside)))
        yield (
            f"{one.name:<12}{fmean(number):>14.1f}{fmean(held or [0]):>8.0%}{fmean(between):>16.2f}"
        )


def _two_halves(
    takes: Sequence[RealTake], turn: int
) -> tuple[Sequence[RealTake], Sequence[RealTake]]:
    mixed = Random(turn).sample(takes, len(takes))  # noqa: S311 - reproducible
    return mixed[: len(mixed) // 2], mixed[len(mixed) // 2 :]


def _some_takes(drummers: Sequence[_Drummer]) -> Iterator[str]:
    yield f"Some of the takes, {TIMES} times drawn: sentences of different kinds, true of the whole"
    yield f"{'':<12}" + "".join(f"{size:>14}" for size in SIZES)
    for one in drummers:
        whole, cells = own_plays(one.takes), []
        for size in SIZES:
            said = [
                one_of_a_kind(one.facts(Random(turn).sample(one.takes, size)))  # noqa: S311
                for turn in range(TIMES)
                if size <= len(one.takes)
            ]
            true = [one.holds(fact, whole) for found in said for fact in found]
            number = fmean(map(len, said)) if said else 0.0
            least = min(map(len, said), default=0)
            cells.append(f"{number:>5.1f} ({least}) {fmean(true) if true else 1:>4.0%}")
        yield f"{one.name:<12}" + "".join(f"{cell:>14}" for cell in cells)
