"""The table that the benchmark prints."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

_UNITS = (("s", 1.0), ("ms", 1e3), ("µs", 1e6))


@dataclass(frozen=True)
class BenchRow:
    """One measurement in seconds; `seconds` is None where there is none, and `note` says why."""

    what: str
    seconds: float | None = None
    note: str = ""


@dataclass(frozen=True)
class BenchSection:
    title: str
    rows: tuple[BenchRow, ...]


def lines(sections: Iterable[BenchSection], baseline: float) -> Iterator[str]:
    """Yield the lines of the table; each time also as a share of the baseline, in seconds."""
    sections = list(sections)
    width = max(len(row.what) for section in sections for row in section.rows)
    for section in sections:
        yield ""
        yield section.title
        for row in section.rows:
            yield f"  {row.what:<{width}}  {_times(row, baseline)}  {row.note}".rstrip()


def heading(baseline: float) -> str:
    """Return the first line: what everything is compared with."""
    return f"Medians. Baseline, a fixed loop in plain Python: {duration(baseline)} = 1."


def duration(seconds: float) -> str:
    """Return a time in the unit that suits it, to three figures.

    >>> duration(0.00421)
    '4.21 ms'
    """
    unit, factor = next((named for named in _UNITS if seconds * named[1] >= 1), _UNITS[-1])
    return f"{_figures(seconds * factor)} {unit}"


def times_as_long(other: float, ours: float) -> str:
    """Return how the time of another program compares with ours, in words."""
    return f"{_figures(other / ours)} times as long"


def _times(row: BenchRow, baseline: float) -> str:
    if row.seconds is None:
        return f"{'-':>10}  {'-':>10}"
    return f"{duration(row.seconds):>10}  {_figures(row.seconds / baseline):>10}"


def _figures(number: float) -> str:
    """Three figures, without an exponent."""
    if number >= 100:
        return f"{number:,.0f}"
    return f"{number:.3g}" if number >= 1e-4 else f"{number:.6f}"
