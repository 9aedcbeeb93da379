"""How many files of real players are read at their tempo and from their bar line.

Each file has a click that was played to, and begins with a bar line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from math import ceil
from typing import NamedTuple

from rhythms.bench.player_parts import parts_of
from rhythms.bench.real_takes import RealTake
from rhythms.engine.takes import Analysis, Grid, analyse

#: A tempo is right within this share, a bar line within so many quarters.
_TEMPO_WITHIN, _A_32ND = 0.02, 0.125
#: What somebody says of a take's tempo, as a share of the true one.
SAID = {"the true tempo said": 1.0, "8 % more said": 1.08, "8 % less said": 0.92}
AS_SENT, LEFT = "as sent", "default left"
#: The tempo of a file to which nobody gave one (Standard MIDI Files 1.0), in quarters a minute;
#: who plays nearer to it than this share, or to its half or double, cannot be seen to leave it.
DEFAULT, _APART = 120.0, 0.06
#: So many fills of one player at one tempo in a row are long enough to be seen to leave it.
_IN_A_ROW = 6
_WIDTH, _COLUMN = 26, 22


class TemposRead(NamedTuple):
    """Of one file: whether tempo and bar line are right, by what somebody says."""

    player: str
    right: Mapping[str, bool]


def is_right(grid: Grid | None, tempo: float) -> bool:
    """Whether a take with a bar line at its start, and this tempo, is read so."""
    if grid is None or abs(grid.tempo / tempo - 1) > _TEMPO_WITHIN:
        return False
    bar = float(grid.meter.bar_length)
    after = grid.quarters(0.0) % bar
    return min(after, bar - after) <= _A_32ND


def tempos_read(take: RealTake) -> TemposRead:
    """What is right of one take, as it was sent and after somebody said a tempo."""
    true = take.file.tempo
    said = {
        name: analyse(replace(take.recording, stated_tempo=round(share * true)))
        for name, share in SAID.items()
    }
    found: dict[str, Analysis] = {AS_SENT: take.analysis, **said}
    return TemposRead(take.player, {name: is_right(one.grid, true) for name, one in found.items()})


def tempos_section(takes: Sequence[RealTake]) -> Iterator[str]:
    """Lines of a table: all, by player, and the half held back; and what leaves a default."""
    yield "Tempo within 2 % and first bar line within a 32nd: right, of files."
    names = (AS_SENT, *SAID)
    yield f"{'':<{_WIDTH}}" + "".join(f"{name:>{_COLUMN}}" for name in names)
    for part_name, part in parts_of("all", [tempos_read(take) for take in takes]):
        cells = (f"{sum(one.right[name] for one in part)} of {len(part)}" for name in names)
        yield f"{part_name:<{_WIDTH}}" + "".join(f"{cell:>{_COLUMN}}" for cell in cells)
    left = [leaves_the_default(row) for row in in_a_row(takes)]
    yield (
        f"{_IN_A_ROW} fills in a row whose file has {DEFAULT:.0f}, which nobody played to: "
        f"{sum(left)} of {len(left)} are seen to leave it."
    )


def in_a_row(takes: Sequence[RealTake]) -> Iterator[tuple[RealTake, ...]]:
    """Fills of one player at one tempo that is not the default, so many as are told from it."""
    for (_, tempo), same in groupby(takes, lambda take: (take.player, take.file.tempo)):
        if all(abs(tempo / (times * DEFAULT) - 1) > _APART for times in (0.5, 1, 2)):
            rows = list(same)
            for first in range(0, len(rows) - _IN_A_ROW + 1, _IN_A_ROW):
                yield tuple(rows[first : first + _IN_A_ROW])


def leaves_the_default(row: Sequence[RealTake]) -> bool:
    """Whether fills played one after another, each from a bar line, are read at another tempo than
    the one that their file has of a program."""
    bar = float(row[0].recording.meter.bar_length) * 60_000 / row[0].file.tempo
    events, start = list[tuple[float, float, float]](), 0.0
    for take in row:
        events += [(start + ms, key, velocity) for ms, key, velocity in take.recording.events]
        start += bar * ceil(max(ms for ms, _, _ in take.recording.events) / bar)
    joined = replace(row[0].recording, events=events, click=(DEFAULT, 0.0), tempo=DEFAULT)
    grid = analyse(joined).grid
    return grid is not None and abs(grid.tempo / DEFAULT - 1) > _TEMPO_WITHIN
