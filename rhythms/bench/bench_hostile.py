"""What rule sets cost that remember as much as they can, counted and explained."""

import tracemalloc
from collections import Counter
from time import process_time

from rhythms.bench.bench_timer import BenchEffort
from rhythms.bench.hostile_rules import eight_forbidden, hostile_space
from rhythms.bench.table import BenchRow, BenchSection
from rhythms.engine import FillSpace
from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.space.conflict import clash_of

SPACES = 100


def section(effort: BenchEffort, *, together: bool = False) -> BenchSection:
    seeds = range(min(SPACES, effort.calls))
    outcomes: Counter[str] = Counter()
    times, states = [], 0
    for seed in seeds:
        space = hostile_space(seed, together=together)
        start = process_time()
        outcomes[_outcome(space)] += 1
        times.append(process_time() - start)
        states = max(states, _states(space))
    most = max(_megabytes(hostile_space(seed, together=together)) for seed in seeds)
    forbidden = eight_forbidden(4)
    start = process_time()
    clash = clash_of(forbidden)
    explained = process_time() - start
    ended = ", ".join(f"{times} {outcome}" for outcome, times in sorted(outcomes.items()))
    return BenchSection(
        f"{len(seeds)} hostile rule sets on up to 108 notes"
        f"{', with both hands and feet together' if together else ''} (CPU time)",
        (
            BenchRow("the slowest of them, explained where empty", max(times), ended),
            BenchRow("all of them, on average", sum(times) / len(times)),
            BenchRow("most states of one that was counted", note=f"{states:,}"),
            BenchRow("memory at the most", note=f"{most:.0f} MB"),
            BenchRow(
                "eight surfaces forbidden in four ways each",
                explained,
                f"a clash of {len(clash.rules)}",
            ),
        ),
    )


def _outcome(space: FillSpace) -> str:
    try:
        if space.size:
            return "counted"
    except TooManyStatesError:
        return "refused"
    clash = clash_of(space)
    if not clash.minimal:
        return "empty, cut short"
    return "empty, a smallest clash" if clash.smallest else "empty, a clash"


def _states(space: FillSpace) -> int:
    try:
        return space.graph.states
    except TooManyStatesError:
        return 0


def _megabytes(space: FillSpace) -> float:
    tracemalloc.start()
    try:
        _outcome(space)
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()
