"""Listing all fills of a small space, against a general-purpose constraint solver.

The solver (python-constraint2) is told the same: a domain of strokes for each note and the
constraints that tie notes to those before.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby, pairwise

try:
    from constraint import Problem
except ImportError:  # it belongs to the tests; the app does without
    Problem = None

from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.table import BenchRow, BenchSection, times_as_long
from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.rudiments.overlays import HANDS_OF

Struck = tuple[str, str | None]
TOMS = ("high tom", "mid tom", "floor tom")
SURFACES = tuple(str(surface) for surface in Kit.standard().hand_surfaces)
EIGHTHS_ON_TOMS = {"rule": "placement", "values": ["eighth"], "surfaces": ["toms"]}
PARADIDDLE = {"rule": "sticking", "rudiment": "single paradiddle", "others": "alternate"}
LETTERS = HANDS_OF["single paradiddle"]
_RUNS = 3  # the solver takes its time


@dataclass(frozen=True)
class Puzzle:
    """A bar and rules for us; for the solver, what is open to each note, and constraints.

    Each constraint stands with the notes it ties.
    """

    name: str
    bar: Bar
    rules: list[dict]
    domains: list[list[Struck]]
    constraints: tuple[tuple[Callable[..., bool], list[int]], ...] = ()

    def space(self) -> FillSpace:
        """Return our space of the same fills."""
        return FillSpace(self.bar, RuleSet.from_json(self.rules), Kit.standard())

    def list_all(self) -> None:
        """Make every fill of our space."""
        space = self.space()
        for rank in range(space.size):
            space.fill(rank)

    def solve(self) -> list[dict[int, Struck]]:
        """Return all solutions of the same problem as the solver sees it."""
        problem = Problem()
        for note, domain in enumerate(self.domains):
            problem.addVariable(note, domain)
        for constraint, notes in self.constraints:
            problem.addConstraint(constraint, notes)
        solutions: list[dict[int, Struck]] = problem.getSolutions()
        return solutions


def puzzles() -> list[Puzzle]:
    """Return spaces of 10^4 to 10^6 fills, as a fill space and as a problem of the solver."""
    return [*_placed(), *(_watched(line) for line in ("1 e & a 2", "1 e & a 2 e"))]


def _placed() -> list[Puzzle]:
    bar = Bar.from_counts("1 e & a 2 &", "2/4")
    placed = [TOMS if note.value == "eighth" else SURFACES for note in bar.sounded]
    letters = iter(LETTERS)
    hands = [next(letters) if note.value == "16th" else "RL" for note in bar.sounded]
    alternating = tuple(
        (lambda one, other: one[1] != other[1], [before.index, note.index])
        for before, note in pairwise(bar.sounded)
        if note.value == "eighth"
    )
    sticking = PARADIDDLE | {"values": ["16th"]}
    return [
        Puzzle(
            "placement only",
            bar,
            [EIGHTHS_ON_TOMS],
            [[(surface, None) for surface in surfaces] for surfaces in placed],
        ),
        Puzzle(
            "with a sticking",
            bar,
            [EIGHTHS_ON_TOMS, sticking],
            [
                [(surface, hand) for surface in surfaces for hand in open_hands]
                for surfaces, open_hands in zip(placed, hands, strict=True)
            ],
            alternating,
        ),
    ]


def _watched(line: str) -> Puzzle:
    bar = Bar.from_counts(line, "2/4")
    notes = range(len(bar.sounded))
    return Puzzle(
        "with two watchers",
        bar,
        [PARADIDDLE, {"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}],
        [[(surface, LETTERS[note]) for surface in SURFACES] for note in notes],
        ((_two_in_a_row_and_hands_apart, list(notes)),),
    )


def _two_in_a_row_and_hands_apart(*strokes: Struck) -> bool:
    if any(len(list(same)) > 2 for _, same in groupby(surface for surface, _ in strokes)):
        return False
    last: dict[str | None, str] = {}
    for surface, hand in strokes:
        other = last.get("L" if hand == "R" else "R")
        if surface == other != "snare":
            return False
        last[hand] = surface
    return True


def section(effort: BenchEffort) -> BenchSection:
    title = "Small spaces, against python-constraint2"
    if Problem is None:
        missing = "python-constraint2 is not installed; it comes with tests/requirements.txt"
        return BenchSection(title, (BenchRow("list all fills", note=missing),))
    return BenchSection(
        title, tuple(row for puzzle in puzzles() for row in _compared(puzzle, effort))
    )


def _compared(puzzle: Puzzle, effort: BenchEffort) -> tuple[BenchRow, BenchRow, BenchRow]:
    size, solutions = puzzle.space().size, len(puzzle.solve())
    if size != solutions:
        raise AssertionError(f"{puzzle.name}: {size} fills, but the solver finds {solutions}.")
    runs = min(effort.runs, _RUNS)
    counted = seconds(lambda: puzzle.space().size, runs)
    listed = seconds(puzzle.list_all, runs)
    solved = seconds(puzzle.solve, runs)
    ratios = f"{times_as_long(solved, listed)} as listing, {times_as_long(solved, counted)}"
    return (
        BenchRow(f"count {size:,} fills, {puzzle.name}", counted),
        BenchRow(f"list {size:,} fills, {puzzle.name}", listed),
        BenchRow("  the solver, which counts by listing", solved, f"{ratios} as counting"),
    )
