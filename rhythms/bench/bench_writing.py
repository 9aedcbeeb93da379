"""How fast fills are engraved and written to files."""

from collections.abc import Sequence

from rhythms.bench import table
from rhythms.bench.bench_counting import sixteen_notes
from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.table import BenchRow
from rhythms.engine import Fill
from rhythms.notation import midi, musicxml, svg
from rhythms.notation.sheets import Exercise, Section, Sheet, pdf

#: The most that one assignment has.
_ON_A_SHEET = 24


def fills_to_write(effort: BenchEffort) -> Sequence[Fill]:
    """Return different fills of sixteen 16ths."""
    return sixteen_notes([]).sample(effort.bars, seed=1)


def section(effort: BenchEffort) -> table.BenchSection:
    fills = fills_to_write(effort)
    one = fills[0]
    return table.BenchSection(
        "A bar of sixteen 16ths on paper and in files",
        (
            BenchRow("engrave one (SVG)", seconds(lambda: svg(one), effort.runs)),
            BenchRow(f"engrave {len(fills)}, one by one", engraving_all(fills, effort)),
            BenchRow(f"a practice sheet of {_ON_A_SHEET} (PDF)", printing(effort)),
            BenchRow("MIDI", seconds(lambda: midi(one), effort.runs)),
            BenchRow("MusicXML", seconds(lambda: musicxml(one), effort.runs)),
        ),
    )


def printing(effort: BenchEffort) -> float:
    """Return the worker's time for a whole sheet, engraving and counts included, in seconds."""
    fills = sixteen_notes([]).sample(_ON_A_SHEET, seed=1)
    exercises = tuple(Exercise(f"Fill {place}", fill) for place, fill in enumerate(fills, start=1))
    sheet = Sheet("Sixteen 16ths", (Section("Anywhere", exercises),), counts=True)
    return seconds(lambda: pdf(sheet), effort.runs)


def engraving_all(fills: Sequence[Fill], effort: BenchEffort) -> float:
    """Return the time for all of these fills together, in seconds."""
    return seconds(lambda: [svg(fill) for fill in fills], effort.runs)
