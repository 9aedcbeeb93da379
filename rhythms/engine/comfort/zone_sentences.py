"""What stands out, in the sentences a teacher would say."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from rhythms.engine.comfort.clusters import Cluster
from rhythms.engine.comfort.facts import Fact

MOST_SENTENCES = 3
#: One fill, or two, that so much of the time goes to are the first thing to say, from so many
#: takes each on.
MUCH, FEWEST_TAKES = 0.65, 3
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def sentences(
    groups: Sequence[Cluster], found: Iterable[Fact], *, to_player: bool = False
) -> tuple[str, ...]:
    """Sentences on what stands out, the most characteristic first; none where nothing does.

    ``groups`` are clusters of which one or two may take most of the time.
    """
    of_facts = (fact.to_player if to_player else fact.sentence for fact in one_of_a_kind(found))
    return (*_favourites(groups), *of_facts)[:MOST_SENTENCES]


def one_of_a_kind(found: Iterable[Fact]) -> list[Fact]:
    """The facts that say something new, in order: of each kind the one furthest from others."""
    best: dict[str, Fact] = {}
    for fact in found:
        best.setdefault(fact.trait.kind, fact)
    return list(best.values())


def _favourites(groups: Sequence[Cluster]) -> list[str]:
    often = [group.share for group in groups if group.takes >= FEWEST_TAKES]
    first, second = [*often, 0.0, 0.0][:2]
    if first >= MUCH:
        return [f"{of_fills(first)} are one and the same, or nearly."]
    if first + second >= MUCH:
        return [f"{of_fills(first + second)} are one of the same two, or nearly."]
    return []


def of_fills(share: float) -> str:
    """``All fills``, ``Nearly all fills``, ``Four of five fills``, ``Half of the fills``."""
    if share > 0.995:
        return "All fills"
    if share > 0.93:
        return "Nearly all fills"
    near = Fraction(share).limit_denominator(5)
    if near == 1:
        return "Nine of ten fills"
    if near == Fraction(1, 2):
        return "Half of the fills"
    return f"{_NUMBERS[near.numerator].capitalize()} of {_NUMBERS[near.denominator]} fills"
