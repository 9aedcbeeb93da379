"""Fill spaces against a general-purpose constraint solver (python-constraint2 on PyPI)."""

from __future__ import annotations

import pytest
from constraint import Problem

from rhythms.bench.solver import puzzles
from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.rudiments.overlays import HANDS_OF
from tests.engine.space.test_fill_space import placement, sticking

SURFACES = [str(surface) for surface in Kit.standard().hand_surfaces]
TOMS = ["high tom", "mid tom", "floor tom"]


def solve(domains: list[list[tuple[str, str | None]]], constraints=()) -> set[tuple]:
    problem = Problem()
    for note, domain in enumerate(domains):
        problem.addVariable(note, domain)
    for constraint, notes in constraints:
        problem.addConstraint(constraint, notes)
    return {
        tuple(solution[note] for note in range(len(domains))) for solution in problem.getSolutions()
    }


def enumerate_space(bar: Bar, rules: list[dict]) -> set[tuple]:
    space = FillSpace(bar, RuleSet.from_json(rules), Kit.standard())
    return {
        tuple((str(stroke.surface), stroke.limb) for stroke in space.fill(rank).strokes)
        for rank in range(space.size)
    }


def test_placements_agree_with_the_solver():
    bar = Bar.from_counts("1 & 2 e & a", "2/4")
    rules = [placement(TOMS, "eighth"), placement(["anything"], "16th")]
    domains = [[(name, None) for name in TOMS]] * 2 + [[(name, None) for name in SURFACES]] * 4
    assert enumerate_space(bar, rules) == solve(domains)


@pytest.mark.parametrize("name", ["single paradiddle", "paradiddle-diddle"])
def test_a_sticking_with_alternating_others_agrees_with_the_solver(name):
    bar = Bar.from_counts("1 & a 2 & a", "2/4")
    rules = [placement(["toms"]), sticking("16th", rudiment=name)]
    letters = dict(zip([1, 2, 4, 5], HANDS_OF[name], strict=False))
    domains = [
        [(tom, hand) for tom in TOMS for hand in letters.get(note, "RL")] for note in range(6)
    ]
    constraints = [
        (lambda first: first[1] == "R", [0]),
        (lambda before, after: before[1] != after[1], [2, 3]),
    ]
    assert enumerate_space(bar, rules) == solve(domains, constraints)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_the_fills_of_each_benchmark_are_those_the_solver_finds(number):
    puzzle = puzzles()[number]
    found = {tuple(solution[note] for note in sorted(solution)) for solution in puzzle.solve()}
    assert enumerate_space(puzzle.bar, puzzle.rules) == found
