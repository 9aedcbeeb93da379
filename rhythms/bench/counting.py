"""How fast fills are counted, numbered and drawn."""

from collections.abc import Callable
from random import Random

from rhythms.bench.table import Row, Section
from rhythms.bench.timing import Effort, seconds
from rhythms.engine import Bar, FillSpace, Kit, RuleSet

SIXTEEN = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
PARADIDDLE = [{"rule": "sticking", "values": ["16th"], "rudiment": "single paradiddle"}]
_SAMPLE = 1000


def sixteen_notes(rules: list[dict]) -> FillSpace:
    """Return the fills of sixteen 16ths on the eight hand surfaces of the standard kit."""
    return FillSpace(SIXTEEN, RuleSet.from_json(rules), Kit.standard())


def sections(effort: Effort) -> tuple[Section, ...]:
    return (
        _section("hands free", [], effort),
        _section("a paradiddle", PARADIDDLE, effort),
    )


def _section(title: str, rules: list[dict], effort: Effort) -> Section:
    space = sixteen_notes(rules)
    ranks = Random(1).choices(range(space.size), k=effort.calls)  # noqa: S311 - the same each time
    fills = [space.fill(rank) for rank in ranks]
    sample = min(_SAMPLE, 10 * effort.calls)
    return Section(
        f"Sixteen 16ths on eight surfaces, {title}: {space.size:,} fills",
        (
            Row("count them all (size)", seconds(lambda: sixteen_notes(rules).size, effort.runs)),
            Row("fill(rank)", each(space.fill, ranks, effort)),
            Row("rank(fill)", each(space.rank, fills, effort)),
            Row(f"sample({sample})", seconds(lambda: space.sample(sample, seed=1), effort.runs)),
        ),
    )


def each(call: Callable, arguments: list, effort: Effort) -> float:
    """Return the median time of one call, over all the arguments."""

    def all_of_them() -> None:
        for argument in arguments:
            call(argument)

    return seconds(all_of_them, effort.runs) / len(arguments)
