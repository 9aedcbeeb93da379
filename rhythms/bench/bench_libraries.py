"""Writing the same bars as MusicXML with music21, a general-purpose library."""

from music21 import converter, stream
from music21.musicxml.m21ToXml import GeneralObjectExporter

from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.bench_writing import fills_to_write
from rhythms.bench.table import BenchRow, BenchSection, times_as_long
from rhythms.notation import musicxml


def section(effort: BenchEffort) -> BenchSection:
    texts = [musicxml(fill) for fill in fills_to_write(effort)]
    scores = [converter.parseData(text, format="musicxml") for text in texts]
    ours = seconds(lambda: [musicxml(fill) for fill in fills_to_write(effort)], effort.runs)
    theirs = seconds(lambda: [written_by_music21(score) for score in scores], effort.runs)
    return BenchSection(
        "The same bars as MusicXML, against music21",
        (
            BenchRow(f"MusicXML of {len(scores)}, one by one", ours),
            BenchRow("music21, from its own objects", theirs, times_as_long(theirs, ours)),
        ),
    )


def written_by_music21(score: stream.Stream) -> bytes:
    """Return the score as music21 writes it."""
    written: bytes = GeneralObjectExporter(score).parse()
    return written
