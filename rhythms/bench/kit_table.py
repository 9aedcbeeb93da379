"""The kit's sounds beside recorded ones, and how loud a block of them is: lines to read."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from rhythms.bench.recorded_drums import RECORDED
from rhythms.bench.sound_judge import SoundFigures, cells, difference, figures, gap
from rhythms.notation.sounds import samples, takes_of

#: As far as recorded strokes are from the medians of other kits.
NEAR = 7.0
#: How far two strokes of a drummer are from each other, in dB.
ALIKE, UNLIKE = 1.0, 5.0


class KitRow(NamedTuple):
    """One surface: how far from its own row, in dB; what row is nearest; what is out of range."""

    name: str
    gap: float
    named: str
    found: SoundFigures
    outside: list[str]
    takes_apart: float | None

    @property
    def holds(self) -> bool:
        """Whether it lies inside what was recorded, and is named right."""
        return self.gap <= NEAR and self.named == self.name and not self.outside


@cache
def kit_row(name: str, dynamic: str = "accent") -> KitRow:
    """A surface of the kit against all that was recorded."""
    wave = samples(name, dynamic)
    levels, found = cells(wave), figures(wave)
    gaps = {row: gap(levels, recorded.levels) for row, recorded in RECORDED.items()}
    apart = None
    if takes_of(name) > 1:
        apart = difference(wave, samples(name, dynamic, 1))
    nearest = min(gaps, key=lambda row: gaps[row])
    return KitRow(name, gaps[name], nearest, found, RECORDED[name].outside(found), apart)


def kit_lines(dynamic: str = "accent") -> Iterator[str]:
    """The table, a line for each surface that was recorded."""
    yield (
        f"{'':<12} {'gap dB':>6} {'noise dB':>8} {'T 500':>6} {'T 8k':>6} {'attack':>6}"
        f" {'centroid':>8} {'takes':>5}  nearest row; out of range"
    )
    rows = [kit_row(name, dynamic) for name in RECORDED]
    for row in rows:
        found = row.found
        apart = "" if row.takes_apart is None else f"{row.takes_apart:.1f}"
        yield (
            f"{row.name:<12} {row.gap:6.1f} {found.noise:8.1f} {found.low_decay:6.2f}"
            f" {found.high_decay:6.2f} {found.attack:6.1f} {found.centroid:8.0f} {apart:>5}"
            f"  {row.named}{'; ' if row.outside else ''}{', '.join(row.outside)}"
        )
    yield f"{sum(row.holds for row in rows)} of {len(rows)} inside and named right."
