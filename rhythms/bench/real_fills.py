"""What the takes of real players say of their fills, where each file is known to be one phrase."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from rhythms.bench.player_parts import parts_of
from rhythms.bench.real_takes import RealTake
from rhythms.bench.strokes_kept import StrokesKept, kept
from rhythms.engine.bars.meter import MOST_BARS
from rhythms.engine.takes import Analysis, hear
from rhythms.engine.takes.stroke_reading import place

_WIDTH = 26
_COLUMNS = ("files", "no fill", "cut", "strokes", "groove", "written", "aligned", "off")


class FillsRead(NamedTuple):
    """Of one file: how many fills were found in it, whether a phrase was cut, how many strokes are
    in bars of groove, and what is written down."""

    player: str
    fills: int
    cut: bool
    in_groove: int
    strokes: StrokesKept


def fills_read(take: RealTake) -> FillsRead:
    """What was made of one take."""
    found = take.analysis
    length = float(take.recording.meter.bar_length)
    starts = [bar * length for bar in found.fill_bars]
    written = kept(take.file, list(zip(starts, found.fills, strict=True)), found.feel)
    return FillsRead(take.player, len(found.fills), is_cut(found), _in_groove(take), written)


def _in_groove(take: RealTake) -> int:
    grid, groove = take.analysis.grid, set(take.analysis.groove_bars)
    if grid is None:
        return 0
    placed = place(hear(take.recording.events, {}).hits, grid, take.analysis.feel)
    return sum(each.bar in groove for each in placed)


def is_cut(found: Analysis) -> bool:
    """Whether two fills that have no groove between them would have been one phrase together."""
    spans = [
        (bar, bar + fill.bar.meter.bars)
        for bar, fill in zip(found.fill_bars, found.fills, strict=True)
    ]
    return any(
        end - first <= MOST_BARS and not any(first <= bar < end for bar in found.groove_bars)
        for (first, _), (_, end) in pairwise(spans)
    )


def fills_section(takes: Sequence[RealTake]) -> Iterator[str]:
    """Lines of a table: all, by player, and the half held back."""
    yield (
        "Fills. No fill: of files; cut: files with a phrase in several fills; groove: strokes in "
        "bars of groove; written: strokes that stand in a fill, on their drum, within a 32nd; "
        "aligned: with the offset of the whole file taken off; off: notes of fills that nobody "
        "struck within a 32nd."
    )
    yield f"{'':<{_WIDTH}}" + "".join(f"{name:>10}" for name in _COLUMNS)
    for name, part in parts_of("all", [fills_read(take) for take in takes]):
        yield f"{name:<{_WIDTH}}" + "".join(f"{cell:>10}" for cell in _cells(part))


def _cells(part: Sequence[FillsRead]) -> tuple[str, ...]:
    struck = sum(one.strokes.strokes for one in part)
    written = sum(one.strokes.kept for one in part)
    notes = sum(one.strokes.read for one in part)
    return (
        f"{len(part):,}",
        f"{sum(not one.fills for one in part) / max(1, len(part)):.1%}",
        f"{sum(one.cut for one in part) / max(1, len(part)):.1%}",
        f"{struck:,}",
        f"{sum(one.in_groove for one in part) / max(1, struck):.1%}",
        f"{written / max(1, struck):.1%}",
        f"{sum(one.strokes.kept_aligned for one in part) / max(1, struck):.1%}",
        f"{(notes - written) / max(1, notes):.1%}",
    )
