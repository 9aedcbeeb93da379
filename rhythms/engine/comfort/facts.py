"""What stands out in how somebody plays, beside other people.

A fact is said where a trait is further from what others do than luck explains, the false
discovery rate held over all traits that are tried, and far enough to be heard. OtherPeople are the
drummers that come with the project and the other students of the studio. What the rhythm that was
played, or what was given, would make of it anyway is no fact.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import sqrt
from typing import NamedTuple

import numpy as np

from rhythms.engine.comfort.expectation import Expected, Given
from rhythms.engine.comfort.fact_words import sentence_of, sentence_to_player
from rhythms.engine.comfort.people import Person, people, stats_of_people
from rhythms.engine.comfort.playing import FEWEST
from rhythms.engine.comfort.rhythm_chances import (
    OF_SURFACES,
    ChancesOf,
    draws_for,
    rhythm_chances,
)
from rhythms.engine.comfort.trait_table import Floats, OwnPlays
from rhythms.engine.comfort.trait_tests import (
    OtherPeople,
    TraitStats,
    effect,
    false_discovery_rates,
    interval,
    p_of_amount,
    p_of_amount_by_chance,
    p_of_count,
    p_of_counts_by_chance,
)
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import base, called

#: False discoveries among what is said: fewer than the 1 in 20 that is asked for, since what is
#: drawn to stand for all is itself known by some draws alone.
HELD_AT = 0.03
#: A trait is heard where it is so far (Cohen's h or d) from one of the others, and three fifths
#: as far from all of them together.
HEARD, FROM_ALL = 0.5, 0.3
#: What neither a student nor others do in this share of fills is nothing to talk about, and not
#: tried.
_LEAST_SHARE = 0.15
#: Whoever has none of these at all may have a kit, or a way to enter takes, that does not tell.
_MAY_BE_SILENT = frozenset(
    ("open", "accents", "bass drum", "hi-hat foot", "together", "ornaments", "timing")
)
#: From so many takes on it is sure, and fairly so.
SURE, FAIRLY_SURE = 20, 10
#: Half of the fills are most of them. The kinds of traits that one falls back on, and the amounts
#: of which less, or more, is the same again and again.
_MOST = 0.5
_FALLEN_BACK_ON = frozenset(("walk down", "walk up", "colours", "anchor", "move", "end", "start"))
_FEWER = frozenset((Trait("drums", "use {number} drums and cymbals a fill"),))
_MORE = frozenset(
    (
        Trait("stays", "stay on the same drum in {share} moves"),
        Trait("repetition", "strike the drum of a beat ago again in {share} strokes"),
    )
)
#: What is drawn to stand for all may be off by so many standard errors.
_OFF_BY = 1.0


@dataclass(frozen=True)
class Fact:
    """A trait with how much of it there is, between ``low`` and ``high`` with 95 %, beside others.

    ``people`` and ``studio`` are what drummers and the other students do, the latter None where
    too few are known. ``rate`` is the false discovery rate at which it is found, ``far`` its
    distance from others as Cohen's h or d; it rests on so many ``takes``.
    """

    trait: Trait
    value: float
    low: float
    high: float
    people: float
    studio: float | None
    rate: float
    far: float
    takes: int

    @property
    def is_more(self) -> bool:
        """Whether there is more of it than with others."""
        return self.far > 0

    @property
    def keeps_coming_back(self) -> bool:
        """Whether it is what somebody falls back on: most of their fills do it, or they use less
        than others. More colour than others have is no comfort."""
        if self.trait.is_amount:
            return self.trait in (_FEWER if not self.is_more else _MORE)
        return self.is_more and self.value >= _MOST and self.trait.kind in _FALLEN_BACK_ON

    @property
    def sure(self) -> str:
        """How sure, in a word."""
        if self.takes >= SURE:
            return "Sure"
        return "Fairly sure" if self.takes >= FAIRLY_SURE else "Only a hint"

    @property
    def sentence(self) -> str:
        """``Ends on the crash in 2 of 10; others in 4 of 100. Sure: 40 takes.``"""
        told = sentence_of(self.trait, self.value, self.people, self.studio)
        return f"{told} {self._rests_on}"

    @property
    def to_player(self) -> str:
        """The same to who plays so, never beside the other students."""
        return f"{sentence_to_player(self.trait, self.value, self.people)} {self._rests_on}"

    @property
    def _rests_on(self) -> str:
        return f"{self.sure}: {self.takes} takes."


@dataclass(frozen=True)
class BesideWhom:
    """Who a student is held against: persons by their traits, and chances of a rhythm."""

    drummers: Mapping[str, Person] = field(default_factory=people)
    studio: Sequence[Person] = ()
    chances: ChancesOf = rhythm_chances


class _Tried(NamedTuple):
    trait: Trait
    own: TraitStats
    people: OtherPeople
    studio: OtherPeople | None
    far: float
    p: float


def facts(
    own: OwnPlays, given: Given, kit: Kit, beside: BesideWhom | None = None
) -> tuple[Fact, ...]:
    """What stands out, what one falls back on first, then what is furthest from others.

    None with too few takes of their own.
    """
    if len(own.takes) < FEWEST:
        return ()
    beside = beside or BesideWhom()
    tried = _tried(own, kit, beside)
    by_chance = _explained(own, given, kit, beside, tried)
    # Which side to look at was chosen by these very takes: both count.
    p_values = [max(one.p, min(1.0, 2 * by_chance.get(one.trait, 0.0))) for one in tried]
    rates = false_discovery_rates(p_values) if tried else []
    found = [
        _fact(one, rate, len(own.takes))
        for one, rate in zip(tried, rates, strict=True)
        if rate <= HELD_AT and one.far
    ]
    return tuple(sorted(found, key=_most_telling_first))


def _most_telling_first(fact: Fact) -> tuple[bool, float, Trait]:
    return not fact.keeps_coming_back, -abs(fact.far), fact.trait


def _fact(one: _Tried, rate: float, takes: int) -> Fact:
    low, high = interval(one.own, counted=not one.trait.is_amount)
    studio = None if one.studio is None else one.studio.mean
    people_of_it = one.people.mean
    return Fact(one.trait, one.own.mean, low, high, people_of_it, studio, rate, one.far, takes)


def _tried(own: OwnPlays, kit: Kit, beside: BesideWhom) -> list[_Tried]:
    known = dict.fromkeys(own.of_plays)
    known |= dict.fromkeys(trait for one in beside.drummers.values() for trait in one)
    absent = {f"strike the {called(surface)}" for surface in _not_on(kit)}
    found = []
    for trait in known:
        if trait.words in absent:
            continue
        tried = _try(trait, own, beside)
        if tried is not None:
            found.append(tried)
    return found


def _not_on(kit: Kit) -> Iterable[str]:
    there = {base(surface) for surface in kit.surfaces}
    return [surface for surface in type(next(iter(there))) if base(surface) not in there]


def _try(trait: Trait, own: OwnPlays, beside: BesideWhom) -> _Tried | None:
    stats, counted = own.stats(trait), not trait.is_amount
    of_people = stats_of_people(trait, beside.drummers.values())
    if stats is None or not of_people or stats.units < FEWEST:
        return None
    others = OtherPeople.of(of_people, counted=counted)
    if counted and max(stats.mean, others.mean) < _LEAST_SHARE:
        return None
    if trait.kind in _MAY_BE_SILENT and not stats.mean:
        return None
    of_studio = stats_of_people(trait, beside.studio)
    studio = OtherPeople.of(of_studio, counted=counted) if of_studio else None
    against = [others] if studio is None else [others, studio]
    p_of = p_of_count if counted else p_of_amount
    # Of as many tests as there are groups of others the luckiest one counts.
    p = min(1.0, len(against) * min(p_of(stats, one) for one in against))
    return _Tried(trait, stats, others, studio, _how_far(stats, against, counted=counted), p)


def _how_far(own: TraitStats, against: Sequence[OtherPeople], *, counted: bool) -> float:
    """The distance from the others that are furthest; 0 where that is not to be heard."""
    from_people = effect(own.mean, against[0].mean, against[0].spread, counted=counted)
    if abs(from_people) < FROM_ALL:
        return 0.0
    single = [
        effect(own.mean, mean, others.spread, counted=counted)
        for others in against
        for mean in others.means
    ]
    same_way = [far for far in single if (far > 0) == (from_people > 0)]
    furthest = max(same_way, key=abs, default=0.0)
    return from_people if abs(furthest) >= HEARD else 0.0


def _explained(
    own: OwnPlays, given: Given, kit: Kit, beside: BesideWhom, tried: Sequence[_Tried]
) -> dict[Trait, float]:
    """How well the rhythms played, and what was given, explain a trait: the greatest p-value, 1
    where they make it go further than it does."""
    by_rhythm = _by_rhythm(own, kit, beside)
    found: dict[Trait, float] = {}
    _explain(own, [one for one in tried if one.trait.kind in OF_SURFACES], by_rhythm, found)
    if given.says_something(own.plays):
        _explain(own, tried, [given.expected(play) for play in own.plays], found)
    return found


def _by_rhythm(own: OwnPlays, kit: Kit, beside: BesideWhom) -> list[Expected | None]:
    """What chance makes of each play; one and the same for all of a rhythm."""
    drawn = draws_for(len(set(own.rhythms)))
    found: dict[Hashable, Expected | None] = {}
    for rhythm, play in zip(own.rhythms, own.plays, strict=True):
        if rhythm not in found:
            chances = beside.chances(play.fill.without_hands(), kit, drawn)
            found[rhythm] = None if chances is None else Expected(chances.traits, drawn)
    return [found[rhythm] for rhythm in own.rhythms]


def _explain(
    own: OwnPlays,
    tried: Sequence[_Tried],
    of_plays: Sequence[Expected | None],
    found: dict[Trait, float],
) -> None:
    counted: list[tuple[Trait, Floats, Floats]] = []
    for one in tried:
        values, expected = _side_by_side(own, one.trait, of_plays)
        expected = _nearer(expected, values, one, of_plays)
        if len(values) < FEWEST or np.sign((values - expected).mean()) != np.sign(one.far):
            found[one.trait] = 1.0
        elif one.trait.is_amount:
            p = p_of_amount_by_chance(values, expected, one.people.spread)
            found[one.trait] = max(p, found.get(one.trait, 0.0))
        else:
            counted.append((one.trait, values, expected))
    for takes in {len(values) for _, values, _ in counted}:
        some = [one for one in counted if len(one[1]) == takes]
        values, expected = (np.array([one[at] for one in some]).T for at in (1, 2))
        p_values = p_of_counts_by_chance(values, expected).tolist()
        for (trait, _, _), p in zip(some, p_values, strict=True):
            found[trait] = max(p, found.get(trait, 0.0))


def _nearer(
    expected: Floats, values: Floats, one: _Tried, of_plays: Sequence[Expected | None]
) -> Floats:
    """What is expected, as near to what was played as the draws it rests on leave it open."""
    drawn = sum({id(each): each.drawn or 0 for each in of_plays if each is not None}.values())
    if not drawn or not len(values):
        return expected
    mean = float(expected.mean())
    variance = one.people.spread**2 if one.trait.is_amount else mean * (1 - mean)
    off, margin = float(values.mean()) - mean, _OFF_BY * sqrt(variance / drawn)
    moved = expected + (margin if off > 0 else -margin)
    return moved if one.trait.is_amount else np.clip(moved, 0.0, 1.0)


def _side_by_side(
    own: OwnPlays, trait: Trait, of_plays: Sequence[Expected | None]
) -> tuple[Floats, Floats]:
    """What was played and what was to be expected, where both are known: a number a take."""
    expected = [None if one is None else one.of(trait) for one in of_plays]
    played = [
        None if chance is None else value
        for value, chance in zip(own.plays_with(trait), expected, strict=True)
    ]
    known = [
        None if value is None else chance for value, chance in zip(played, expected, strict=True)
    ]
    return own.values(played), own.values(known)
