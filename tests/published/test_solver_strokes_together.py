"""Strokes together against a general-purpose constraint solver (python-constraint2 on PyPI).

To the solver each limb of each note is a variable: what it strikes, or nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest
from constraint import Problem

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.rudiments.overlays import HANDS_OF
from tests.engine.space.test_fill_space import placement, sticking

KIT = Kit.of(["snare", "floor tom", "crash", "bass drum"])
HAND_SURFACES = ("snare", "floor tom", "crash")
LEFT_TO_RIGHT = ("crash", "snare", "floor tom")
LIMBS = ("R", "L", "RF")
#: What the right hand, the left hand and the right foot strike on one note.
Struck = tuple[str | None, str | None, str | None]
Line = tuple[Struck, ...]

SNARE_AND_ANOTHER = {"rule": "both hands", "one": ["snare"], "other": ["anything"]}
UNDER_THE_CRASH = {"rule": "foot under"}
MAYBE_UNDER_DRUMS = {"rule": "foot under", "surfaces": ["snare", "toms"], "when": "maybe"}
APART = {"rule": "hands apart"}


def solve(notes: int, allowed: Callable[[Line], bool], by_note: Callable[[Struck], bool]) -> set:
    problem = Problem()
    names = [(note, limb) for note in range(notes) for limb in LIMBS]
    for note, limb in names:
        there = ("bass drum",) if limb == "RF" else HAND_SURFACES
        problem.addVariable((note, limb), (None, *there))
    for note in range(notes):
        of_note = [(note, limb) for limb in LIMBS]
        problem.addConstraint(lambda *struck: some_hand(struck) and by_note(struck), of_note)
    problem.addConstraint(lambda *struck: allowed(line_of(struck)), names)
    return {line_of([found[name] for name in names]) for found in problem.getSolutions()}


def line_of(struck: list[str | None] | tuple[str | None, ...]) -> Line:
    return tuple(tuple(struck[at : at + 3]) for at in range(0, len(struck), 3))


def some_hand(struck: Struck) -> bool:
    """Of two hands the right one is on the right."""
    right, left, _ = struck
    if right is None or left is None:
        return right != left
    return LEFT_TO_RIGHT.index(left) < LEFT_TO_RIGHT.index(right)


def listed(bar: Bar, rules: list[dict]) -> list[Line]:
    space = FillSpace(bar, RuleSet.from_json(rules), KIT)
    return [by_limb(space.fill(rank)) for rank in range(space.size)]


def by_limb(fill: Fill) -> Line:
    struck = ({str(hit.limb): str(hit.surface) for hit in stroke.hits} for stroke in fill.strokes)
    return tuple(tuple(limbs.get(limb) for limb in LIMBS) for limbs in struck)


def both(struck: Struck) -> bool:
    return None not in struck[:2]


def opened(struck: Struck) -> bool:
    """Two hands only with the snare; the foot under crashes, always, and maybe under drums."""
    hands = {surface for surface in struck[:2] if surface}
    if both(struck) and "snare" not in hands:
        return False
    return struck[2] is not None if "crash" in hands else True


def apart(line: Line) -> bool:
    last: dict[int, str] = {}
    for struck in line:
        last |= {hand: surface for hand, surface in enumerate(struck[:2]) if surface}
        if last.get(0) == last.get(1) != "snare":
            return False
    return True


def at_most_two_in_a_row(line: Line) -> bool:
    return not any(
        set(line[at]) & set(line[at + 1]) & set(line[at + 2]) - {None}
        for at in range(len(line) - 2)
    )


def families_alternate(line: Line) -> bool:
    family = {"snare": "snare", "floor tom": "toms", "crash": "cymbals", "bass drum": "feet"}
    families = [{family[surface] for surface in struck if surface} for struck in line]
    return not any(one & other for one, other in pairwise(families))


@pytest.mark.parametrize("number", [0, 1, 2])
@pytest.mark.parametrize(
    ("more", "holds"),
    [
        ([APART], apart),
        (
            [APART, {"rule": "at most in a row", "n": 2}],
            lambda line: apart(line) and at_most_two_in_a_row(line),
        ),
        (
            [APART, {"rule": "alternate families"}],
            lambda line: apart(line) and families_alternate(line),
        ),
    ],
)
def test_both_hands_on_a_number_of_notes_over_feet_agree_with_the_solver(number, more, holds):
    rules = [SNARE_AND_ANOTHER | {"n": number}, UNDER_THE_CRASH, MAYBE_UNDER_DRUMS, *more]
    found = listed(Bar.from_counts("1 & a", "1/4"), rules)
    solved = solve(3, lambda line: sum(map(both, line)) == number and holds(line), opened)
    assert len(found) == len(solved) > 0
    assert set(found) == solved


def test_two_hands_on_the_notes_of_a_sticking_agree_with_the_solver():
    """On the 16ths a paradiddle; between them any two hands, or the hand that alternates."""
    bar = Bar.from_counts("1 & a 2", "2/4")
    quarters = {"values": ["quarter", "eighth"]}
    rules = [
        SNARE_AND_ANOTHER | quarters | {"n": 1},
        sticking("16th"),
        placement(["snare", "crash"]),
        UNDER_THE_CRASH,
    ]
    free = [note.index for note in bar.sounded if note.value != "16th"]
    letters = dict(zip([1, 2], HANDS_OF["single paradiddle"], strict=False))

    def hands(struck: Struck) -> set[str]:
        return {limb for limb, surface in zip("RL", struck[:2], strict=True) if surface}

    def allowed(line: Line) -> bool:
        before: set[str] = {"L"}
        for note, struck in enumerate(line):
            if note in letters and hands(struck) != {letters[note]}:
                return False
            alternates = len(hands(struck) | before) == 2
            if note in free and not alternates:
                return False
            before = hands(struck)
        return sum(both(line[note]) for note in free) == 1

    def of_note(struck: Struck) -> bool:
        there = {surface for surface in struck[:2] if surface}
        return bool(there & {"snare", "crash"}) and (struck[2] is not None) == ("crash" in there)

    def snare_with_another(struck: Struck) -> bool:
        return of_note(struck) and (not both(struck) or "snare" in struck)

    found = listed(bar, rules)
    solved = solve(len(bar.sounded), allowed, snare_with_another)
    assert len(found) == len(solved) > 0
    assert set(found) == solved
