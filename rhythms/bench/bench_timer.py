"""Taking times: medians, since a busy machine only ever makes things slower."""

import gc
from collections.abc import Callable
from statistics import median
from time import perf_counter, process_time
from typing import NamedTuple

BASELINE_STEPS = 1_000_000


class BenchEffort(NamedTuple):
    """How much is measured: runs of each call, calls in a run of quick ones, bars engraved."""

    runs: int
    calls: int
    bars: int


THOROUGH = BenchEffort(runs=9, calls=1000, bars=24)
QUICK = BenchEffort(runs=3, calls=10, bars=2)


def seconds(call: Callable[[], object], runs: int) -> float:
    """Return the median time of a call, in seconds, after one call that does not count."""
    call()
    return median(_timed(call) for _ in range(runs))


def cpu_seconds(call: Callable[[], object], runs: int) -> float:
    """Return the same in seconds of this process, whatever else the machine does."""
    return median(_timed(call, process_time) for _ in range(runs))


def _timed(call: Callable[[], object], clock: Callable[[], float] = perf_counter) -> float:
    gc.collect()
    start = clock()
    call()
    return clock() - start


def baseline() -> int:
    """A fixed piece of work in plain Python, by which machines can be compared."""
    total = 0
    for step in range(BASELINE_STEPS):
        total += step & 7
    return total
