"""The meter that a file's time signature is counted in here."""

from __future__ import annotations

from collections.abc import Sequence

from rhythms.engine import Meter
from rhythms.engine.errors import MeterError


def counted_in(numerators: Sequence[int], denominator: int) -> tuple[Meter | None, tuple[str, ...]]:
    """The meter that a time signature is counted in here, and words where it is another one.

    Several ``numerators`` are its groups.
    """
    written = f"{'+'.join(map(str, numerators))}/{denominator}"
    try:
        meter = _same_length(numerators, denominator)
    except MeterError:
        return None, (f"{written} is not a meter this tool counts.",)
    if (meter.count, meter.unit) == (sum(numerators), denominator):
        return meter, ()
    return meter, (f"Written in {written}; counted here in {meter}.",)


def _same_length(numerators: Sequence[int], denominator: int) -> Meter:
    count = sum(numerators)
    if denominator == 2:
        return Meter(2 * count, 4)
    if denominator == 16 and count % 2 == 0:
        return Meter(count // 2, 8)
    try:
        return Meter(count, denominator, groups=tuple(numerators) if len(numerators) > 1 else ())
    except MeterError:
        # Groups that are not felt as one: the meter is counted all the same.
        return Meter(count, denominator)
