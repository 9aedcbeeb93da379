"""Why a space is empty: rules that cannot hold together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.rules import Rule
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.work import EXPLAINING, Work

#: Of what explaining may cost, the part that finding one clash may, and that one try may of it.
_FIRST, _TRY = 2 / 3, 1 / 6
#: What looking at one set of rules costs that might meet all corrections.
_SET = 1_500
#: More rules than these are not quoted one by one where nobody knows which of them matter.
_QUOTED = 8


@dataclass(frozen=True)
class Clash:
    """``rules`` leave no fill. ``minimal``: any of them could not be spared; ``smallest``: no
    fewer of the rules leave none.
    """

    rules: tuple[Rule, ...]
    minimal: bool = True
    smallest: bool = True


def clash_of(space: FillSpace, work: Work | None = None) -> Clash:
    """Rules of ``space`` that leave no fill; none where it has fills.

    What can be left out is left out, rule by rule, so that what stays is a minimal clash. Then
    a smaller one is looked for: equivalent to trying all sets of one rule, then of two, and so
    on, with the strokes within reach kept as the whole rule set has them. Both are bounded in
    work; where that is not enough, the clash says what is not known of it.
    """
    if space.size:
        return Clash(())
    rules = tuple(dict.fromkeys(space.rule_set.rules))
    tries = _Tries(space, work or Work(EXPLAINING))
    found = _minimal(rules, tries)
    if len(found.rules) < 2:
        return found
    try:
        smaller = _smallest(rules, len(found.rules), tries)
    except TooManyStatesError:
        return Clash(found.rules, found.minimal, smallest=False)
    return Clash(smaller) if smaller else Clash(found.rules)


def conflict(space: FillSpace) -> tuple[Rule, ...]:
    """The rules of ``clash_of``."""
    return clash_of(space).rules


def conflict_in_words(space: FillSpace, work: Work | None = None) -> str:
    """The clash as a sentence or two; "" where the space is not empty."""
    clash = clash_of(space, work)
    quoted = [f"“{rule.sentence().rstrip('.')}”" for rule in clash.rules]
    if not quoted:
        return ""
    if len(quoted) == 1:
        why = clash.rules[0].lacks(space.setting)
        return f"{quoted[0]} cannot hold{f': {why}' if why else ' on this bar and kit'}."
    together = f"{', '.join(quoted[:-1])} and {quoted[-1]}"
    if not clash.minimal and len(quoted) > _QUOTED:
        some = len(quoted) < len(set(space.rule_set.rules))
        together = f"{len(quoted)} of these rules" if some else "These rules"
    said = f"{together} cannot hold together on this bar and kit."
    if not clash.minimal:
        return f"{said} Which of them clash is too much to work out: take one out and look again."
    reasons = filter(None, (rule.why(space.setting) for rule in clash.rules))
    because = "".join(f" {why[0].upper()}{why[1:]}." for why in reasons)
    others = "" if clash.smallest else " Other rules of the set may clash as well."
    return f"{said}{because}{others}"


class _Tries:
    """Sets of rules tried, within bounds."""

    def __init__(self, space: FillSpace, work: Work) -> None:
        self.space = space
        self.work = work

    def has_fills(self, rules: Iterable[Rule]) -> bool:
        """Raises TooManyStatesError where that is too much for one try, or for all of them."""
        one = Work(min(self.work.left, int(self.work.units * _TRY)))
        try:
            return self.space.leaves_fills(rules, one)
        finally:
            self.work.left -= one.done

    def leave_nothing(self, rules: Iterable[Rule]) -> bool | None:
        """Whether they leave no fill; None where that is too much."""
        try:
            return not self.has_fills(rules)
        except TooManyStatesError:
            return None


def _minimal(rules: tuple[Rule, ...], tries: _Tries) -> Clash:
    """One rule after the other is left out where the others still clash.

    Those that watch go first: what is left is cheaper to try, and easier to see.
    """
    kept, known = rules, True
    for rule in sorted(rules, key=lambda rule: not tries.space.watches(rule)):
        if tries.work.left < tries.work.units * (1 - _FIRST):
            return Clash(kept, minimal=False, smallest=False)
        others = tuple(each for each in kept if each != rule)
        nothing = tries.leave_nothing(others)
        known &= nothing is not None
        kept = others if nothing else kept
    return Clash(kept, known, known)


def _smallest(rules: tuple[Rule, ...], below: int, tries: _Tries) -> tuple[Rule, ...]:
    """A smallest clash of fewer rules than ``below``; empty where there is none.

    A clash meets every correction (rules whose removal leaves fills), so the smallest set that
    meets all corrections found so far is either a clash, and then a smallest one, or shows
    another correction: the implicit hitting set method for smallest unsatisfiable subsets
    (Ignatiev et al. 2015). Raises TooManyStatesError.
    """
    corrections: list[int] = []
    while True:
        candidate = next(_meeting(corrections, rules, below, tries.work), None)
        if candidate is None:
            return ()
        if not tries.has_fills(candidate):
            return candidate
        grown = _grown(candidate, rules, tries)
        corrections.append(sum(1 << place for place, rule in enumerate(rules) if rule not in grown))


def _meeting(
    corrections: list[int], rules: tuple[Rule, ...], below: int, work: Work
) -> Iterator[tuple[Rule, ...]]:
    """Sets of fewer rules than ``below`` that have one of each correction, smallest first.

    A correction has a bit for each of the rules.
    """
    useful = [place for place in range(len(rules)) if any(c >> place & 1 for c in corrections)]
    for size in range(min(below, len(useful) + 1)):
        for places in combinations(useful, size):
            work.spend(_SET)
            chosen = sum(1 << place for place in places)
            if all(correction & chosen for correction in corrections):
                yield tuple(rules[place] for place in places)


def _grown(kept: Iterable[Rule], rules: tuple[Rule, ...], tries: _Tries) -> frozenset[Rule]:
    """As many rules as can be added, in order, while some fill is left."""
    grown = tuple(kept)
    for rule in rules:
        if rule not in grown and tries.has_fills((*grown, rule)):
            grown = (*grown, rule)
    return frozenset(grown)
