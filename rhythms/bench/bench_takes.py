"""How long takes are analysed: as students play them, and the dearest that can be sent."""

from collections.abc import Sequence

from rhythms.bench.bench_timer import BenchEffort, cpu_seconds
from rhythms.bench.table import BenchRow, BenchSection
from rhythms.bench.take_cases import TakeCase, dear, typical


def sections(effort: BenchEffort) -> tuple[BenchSection, ...]:
    return (
        _section("Takes as students play them, in processor time", typical(), effort),
        _section("The dearest takes that can be sent, in processor time", dear(), effort),
    )


def _section(title: str, cases: Sequence[TakeCase], effort: BenchEffort) -> BenchSection:
    return BenchSection(title, tuple(_row(case, effort) for case in cases))


def _row(case: TakeCase, effort: BenchEffort) -> BenchRow:
    strokes = f"{len(case.recording.events):,} strokes"
    return BenchRow(case.name, cpu_seconds(case.analyse, min(effort.runs, 3)), strokes)
