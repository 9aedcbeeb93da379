"""Why a space is empty: a smallest set of rules that cannot hold together."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

from rhythms.engine.rules import Rule
from rhythms.engine.space.fill_space import FillSpace


def conflict(space: FillSpace) -> tuple[Rule, ...]:
    """A smallest set of rules of ``space`` that leaves no fill; empty where the space has fills.

    Equivalent to trying all sets of one rule, then of two, and so on, with the strokes within
    reach kept as the whole rule set has them. A smallest conflict meets every correction (rules
    whose removal leaves fills), so the smallest set that meets all corrections found so far is
    either a conflict, and then a smallest one, or shows another correction: the implicit
    hitting set method for smallest unsatisfiable subsets (Ignatiev et al. 2015).
    """
    rules = tuple(dict.fromkeys(space.rule_set.rules))
    if space.size:
        return ()
    corrections: list[frozenset[Rule]] = []
    while True:
        candidate = _smallest_meeting(corrections, rules)
        if not _has_fills(space, candidate):
            return candidate
        corrections.append(frozenset(rules) - _grown(space, candidate, rules))


def conflict_in_words(space: FillSpace) -> str:
    """The conflict as a sentence; "" where the space is not empty."""
    rules = conflict(space)
    quoted = [f"“{rule.sentence().rstrip('.')}”" for rule in rules]
    if not quoted:
        return ""
    if len(rules) == 1:
        why = rules[0].lacks(space.setting) or "no stroke on this bar and kit obeys it"
        return f"{quoted[0]} cannot hold: {why}."
    return f"{', '.join(quoted[:-1])} and {quoted[-1]} cannot hold together on this bar and kit."


def _smallest_meeting(
    corrections: list[frozenset[Rule]], rules: tuple[Rule, ...]
) -> tuple[Rule, ...]:
    """The first smallest set of rules that has one of each correction."""
    useful = [rule for rule in rules if any(rule in correction for correction in corrections)]
    for size in range(len(useful) + 1):
        for chosen in combinations(useful, size):
            if all(correction.intersection(chosen) for correction in corrections):
                return chosen
    return tuple(useful)


def _grown(space: FillSpace, kept: Iterable[Rule], rules: tuple[Rule, ...]) -> frozenset[Rule]:
    """As many rules as can be added, in order, while some fill is left."""
    grown = tuple(kept)
    for rule in rules:
        if rule not in grown and _has_fills(space, (*grown, rule)):
            grown = (*grown, rule)
    return frozenset(grown)


def _has_fills(space: FillSpace, rules: Iterable[Rule]) -> bool:
    return space.graph_of(rules).size > 0
