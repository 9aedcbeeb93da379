"""Fill spaces listed the slow way: every choice of strokes, kept where every rule allows it.

Written from the statements of the rules alone, without the engine's automata or graph, for
small bars on a grid of 16ths in quarter-note meters.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from rhythms.engine import Bar, Kit
from tests.engine.brute_force import line_rules, note_rules
from tests.engine.brute_force.played_case import Blow, Case, Struck
from tests.engine.brute_force.sticking_letters import sticking
from tests.engine.brute_force.struck_reach import played, within_reach


def fills(bar: Bar, rules: list[dict], kit: Kit) -> list[tuple[Struck, ...]]:
    """All fills, ordered note by note by what is within reach of each."""
    case = played(bar, rules, kit)
    choices = [list(within_reach(case, rules, note)) for note in range(case.notes)]
    return [fill for fill in product(*choices) if all(obeys(rule, case, fill) for rule in rules)]


def obeys(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return ORACLES[rule["rule"]](rule, case, fill)


ORACLES: dict[str, Callable[[dict, Case, tuple[Struck, ...]], bool]] = {
    "placement": note_rules.placement,
    "start on": note_rules.end,
    "end on": note_rules.end,
    "dynamics": note_rules.dynamics,
    "ornament": note_rules.ornament,
    "both hands": note_rules.both_hands,
    "feet": note_rules.feet,
    "foot under": note_rules.foot_under,
    "feet keep going": note_rules.feet_keep_going,
    "hand stays": note_rules.hand_stays,
    "linear": note_rules.linear,
    "sticking": sticking,
    "at most in a row": line_rules.at_most_in_a_row,
    "hands apart": line_rules.hands_apart,
    "no hand crosses": line_rules.no_hand_crosses,
    "break the path": line_rules.break_the_path,
    "groups": line_rules.groups,
    "round the kit": line_rules.round_the_kit,
    "answer": line_rules.answer,
    "visit at least": lambda rule, case, fill: line_rules.visited(fill) >= rule["surfaces"],
    "use at most": lambda rule, case, fill: line_rules.visited(fill) <= rule["surfaces"],
    "alternate families": line_rules.alternate_families,
    "doubles together": line_rules.doubles_together,
    # They speak of the bar, which was changed before any stroke was chosen.
    **dict.fromkeys(
        ("play backwards", "start later", "phrase", "own answer"),
        lambda rule, case, fill: rule not in case.unwritten,
    ),
}


__all__ = ["Blow", "Case", "Struck", "fills", "obeys", "played"]
