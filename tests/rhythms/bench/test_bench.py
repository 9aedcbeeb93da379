"""The benchmark's rows and how they are printed; how long anything takes is nobody's test."""

import math
from io import StringIO

import pytest
from django.core.management import call_command
from music21 import converter

from rhythms.bench import (
    bench_hostile,
    bench_libraries,
    bench_picking,
    bench_takes,
    solver,
    take_cases,
)
from rhythms.bench.bench_counting import SIXTEEN, sixteen_notes
from rhythms.bench.bench_timer import QUICK, BenchEffort
from rhythms.bench.table import BenchRow, BenchSection, duration, lines, times_as_long
from rhythms.engine import Kit
from rhythms.notation import musicxml
from tests.thoroughness import amount


def test_the_command_prints_a_row_for_everything_it_times(monkeypatch):
    """In the quick run it times one case of each kind, and two where their spread is told."""
    rows, puzzles = StringIO(), solver.puzzles()
    once = BenchEffort(runs=1, calls=10, bars=1)
    monkeypatch.setattr("rhythms.management.commands.bench.QUICK", once)
    monkeypatch.setattr(solver, "puzzles", lambda: puzzles[: amount(len(puzzles), 1)])
    for kind in ("dear", "typical"):
        takes = getattr(take_cases, kind)()
        some = takes[: amount(len(takes), 1)]
        monkeypatch.setattr(bench_takes, kind, lambda some=some: some)
    monkeypatch.setattr(bench_picking, "CASES", amount(bench_picking.CASES, 2))
    monkeypatch.setattr(bench_picking, "HOSTILE", amount(bench_picking.HOSTILE, 1))
    kinds = list(bench_picking.PICKED.items())
    monkeypatch.setattr(bench_picking, "PICKED", dict(kinds[: amount(len(kinds), 1)]))
    monkeypatch.setattr(bench_hostile, "SPACES", amount(bench_hostile.SPACES, 1))
    call_command("bench", quick=True, stdout=rows)
    for row in (
        "Baseline",
        "hands free",
        "a paradiddle",
        "count them all (size)",
        "fill(rank)",
        "rank(fill)",
        "sample(100)",
        "the first time",
        "the next time",
        "16ths to the end, a fill, with a click",
        "engrave one (SVG)",
        "MIDI",
        "MusicXML",
        "the solver",
        "music21",
    ):
        assert row in rows.getvalue()


def test_sixteen_notes_on_eight_surfaces_are_what_is_timed():
    assert (len(SIXTEEN.sounded), len(Kit.standard().hand_surfaces)) == (16, 8)
    assert sixteen_notes([]).size == 8**16


def test_the_solver_meets_spaces_of_ten_thousand_to_a_million():
    assert all(10_000 < puzzle.space().size < 1_000_000 for puzzle in solver.puzzles())


def test_a_missing_solver_is_noted_in_its_row(monkeypatch):
    monkeypatch.setattr(solver, "Problem", None)
    (row,) = solver.section(QUICK).rows
    assert row.seconds is None
    assert "not installed" in row.note


def test_music21_writes_every_note_of_the_bars_that_are_timed():
    score = converter.parseData(musicxml(sixteen_notes([]).fill(8**16 - 1)), format="musicxml")
    assert bench_libraries.written_by_music21(score).count(b"<unpitched>") == 16


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(12.84, "12.8 s"), (0.00421, "4.21 ms"), (0.123456, "123 ms"), (0.0000045, "4.5 µs")],
)
def test_a_time_is_printed_in_the_unit_that_suits_it(seconds, words):
    assert duration(seconds) == words


def test_a_ratio_says_how_long_the_other_takes():
    assert times_as_long(3.0, 1.5) == "2 times as long"


def test_a_time_stands_beside_its_share_of_the_baseline():
    section = BenchSection(
        "Title", (BenchRow("work", 0.02, "a note"), BenchRow("nothing", note="not there"))
    )
    assert list(lines([section], baseline=0.04)) == [
        "",
        "Title",
        "  work          20 ms         0.5  a note",
        "  nothing           -           -  not there",
    ]


def test_a_share_too_small_for_three_figures_has_no_exponent():
    tiny = math.nextafter(1e-6, 1)
    assert "e-" not in "".join(lines([BenchSection("", (BenchRow("", tiny),))], baseline=1.0))
