"""How fast spaces with watchers are counted, and in how much memory."""

import tracemalloc
from collections.abc import Callable
from random import Random

from rhythms.bench.bench_counting import each
from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.table import BenchRow, BenchSection
from rhythms.engine import Bar, FillSpace, Kit, RuleSet

APART: list[dict] = [{"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}]
FIVE: list[dict] = [
    *APART,
    {"rule": "break the path", "k": 3},
    {"rule": "visit at least", "surfaces": 4},
    {"rule": "use at most", "surfaces": 6},
]
_SAMPLE = 1000


def sextuplets(beats: int) -> Bar:
    """Return a bar of six 16th triplets on each beat."""
    line = " ".join(f"{beat} trip let & trip let" for beat in range(1, beats + 1))
    return Bar.from_counts(line, f"{beats}/4")


def sections(effort: BenchEffort) -> tuple[BenchSection, ...]:
    return (
        _section("24 notes, both hands free, apart and moving on", sextuplets(4), APART, effort),
        _section("48 notes, both hands free, five watchers", sextuplets(8), FIVE, effort),
    )


def _section(title: str, bar: Bar, rules: list[dict], effort: BenchEffort) -> BenchSection:
    def fresh() -> FillSpace:
        return FillSpace(bar, RuleSet.from_json(rules), Kit.standard())

    space, notes = fresh(), len(bar.sounded)
    ranks = Random(1).sample(range(10**12), effort.calls)  # noqa: S311 - the same each time
    sample = min(_SAMPLE, 10 * effort.calls)
    states = f"{space.graph.states:,} states"
    return BenchSection(
        f"{title}: {space.size:,} fills",
        (
            BenchRow("count them all (size)", seconds(lambda: fresh().size, effort.runs), states),
            BenchRow("fill(rank), a note", each(space.fill, ranks, effort) / notes),
            BenchRow(
                f"sample({sample}), nothing known", seconds(lambda: fresh().sample(sample, 1), 3)
            ),
            BenchRow("memory at the most", note=f"{_megabytes(fresh):.0f} MB"),
        ),
    )


def _megabytes(fresh: Callable[[], FillSpace]) -> float:
    """Return the peak of what counting allocates."""
    tracemalloc.start()
    try:
        _ = fresh().size
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()
