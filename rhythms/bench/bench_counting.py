"""How fast fills are counted, numbered and drawn."""

from collections.abc import Callable
from random import Random

from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.table import BenchRow, BenchSection
from rhythms.engine import Bar, FillSpace, Kit, RuleSet

SIXTEEN = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
TOGETHER: list[dict] = [
    {"rule": "both hands", "one": ["snare"], "other": ["toms"], "n": 4},
    {"rule": "foot under"},
]
PARADIDDLE = [{"rule": "sticking", "values": ["16th"], "rudiment": "single paradiddle"}]
_SAMPLE = 1000


def sixteen_notes(rules: list[dict]) -> FillSpace:
    """Return the fills of sixteen 16ths on the eight hand surfaces of the standard kit."""
    return FillSpace(SIXTEEN, RuleSet.from_json(rules), Kit.standard())


def sections(effort: BenchEffort) -> tuple[BenchSection, ...]:
    return (
        _section("hands free", [], effort),
        _section("a paradiddle", PARADIDDLE, effort),
        _section("both hands at once on four, the bass drum under crashes", TOGETHER, effort),
    )


def _section(title: str, rules: list[dict], effort: BenchEffort) -> BenchSection:
    space = sixteen_notes(rules)
    ranks = Random(1).choices(range(space.size), k=effort.calls)  # noqa: S311 - the same each time
    fills = [space.fill(rank) for rank in ranks]
    sample = min(_SAMPLE, 10 * effort.calls)
    return BenchSection(
        f"Sixteen 16ths on eight surfaces, {title}: {space.size:,} fills",
        (
            BenchRow(
                "count them all (size)", seconds(lambda: sixteen_notes(rules).size, effort.runs)
            ),
            BenchRow("fill(rank)", each(space.fill, ranks, effort)),
            BenchRow("rank(fill)", each(space.rank, fills, effort)),
            BenchRow(
                f"sample({sample})", seconds(lambda: space.sample(sample, seed=1), effort.runs)
            ),
        ),
    )


def each(call: Callable, arguments: list, effort: BenchEffort) -> float:
    """Return the median time of one call, over all the arguments."""

    def all_of_them() -> None:
        for argument in arguments:
            call(argument)

    return seconds(all_of_them, effort.runs) / len(arguments)
