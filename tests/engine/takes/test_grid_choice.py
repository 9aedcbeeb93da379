"""Which grid a take is read by: its click's or file's, whatever is said, unless it is left."""

from __future__ import annotations

from random import Random

import pytest

from rhythms.engine import Bar, Fill, Kit, Meter, Stroke, Surface
from rhythms.engine.takes import CLICK, ESTIMATED, FILE, Grid, Recording, analyse
from rhythms.engine.takes.grid_choice import counted_as
from tests.engine.takes.simulated_player import KEYS, Errors, play

METER = Meter(4, 4)
FILL = Fill(
    Bar.from_counts("1 e & a 2 & 3 e & a 4 &"),
    tuple(map(Stroke, [Surface.SNARE, Surface.HIGH_TOM, Surface.FLOOR_TOM] * 4)),
)
TEMPO = 95


def events(tempo: float = TEMPO, start: float = 0.0, jitter: float = 12.0, loops: int = 1):
    """A block of four bars, a bar line at ``start`` ms."""
    return play(FILL, tempo, Errors(jitter=jitter), 5, loops=loops, start=start).events


def grid_of(
    struck,
    click: float | None = TEMPO,
    *,
    said: float | None = None,
    counted_so: bool = False,
    of_file: bool = True,
) -> Grid:
    grid = analyse(
        Recording(
            struck,
            METER,
            Kit.standard(),
            click=(click, 0.0) if click else None,
            of_file=of_file,
            stated_tempo=said,
            counted_as_stated=counted_so,
        )
    ).grid
    assert grid is not None
    return grid


def off_the_bar_line(grid: Grid, ms: float = 0.0) -> float:
    """How far from a bar line, in quarters."""
    after = grid.quarters(ms) % 4
    return min(after, 4 - after)


@pytest.mark.parametrize("said", [None, 95, 86, 104, 102.6])
@pytest.mark.parametrize("of_file", [True, False])
def test_the_given_grid_stays_when_a_tempo_near_it_is_said(said, of_file):
    grid = grid_of(events(), said=said, of_file=of_file)
    assert grid.known == (FILE if of_file else CLICK)
    assert grid.tempo == pytest.approx(TEMPO)
    assert off_the_bar_line(grid) < 0.125


@pytest.mark.parametrize(("said", "counted"), [(190, 2.0), (180, 2.0), (47, 0.5), (51, 0.5)])
def test_twice_or_half_as_fast_is_counted_so_from_the_same_bar_line_on(said, counted):
    grid = grid_of(events(), said=said, counted_so=True)
    assert grid.known == FILE
    assert grid.tempo == pytest.approx(TEMPO * counted)
    assert off_the_bar_line(grid) < 0.125 * counted


@pytest.mark.parametrize("said", [190, 51])
def test_twice_or_half_as_fast_is_read_as_given_until_it_is_said_to_be_counted_so(said):
    assert grid_of(events(), said=said).tempo == pytest.approx(TEMPO)


@pytest.mark.parametrize("said", [80, 110, 127])
def test_another_tempo_that_is_said_keeps_the_bar_line_of_the_file(said):
    """Nobody gave the file its tempo, but it was begun on a bar line."""
    grid = grid_of(events(said, loops=2), 120, said=said + 1)
    assert grid.known == ESTIMATED
    assert grid.tempo == pytest.approx(said, rel=0.02)
    assert off_the_bar_line(grid) < 0.125


def test_strokes_that_slow_down_are_followed_from_the_bar_line_of_the_file_on():
    struck = play(FILL, 80, Errors(jitter=8.0, drift=0.01), 5, loops=3, start=0.0).events
    grid = grid_of(struck, 120, said=78)
    assert off_the_bar_line(grid) < 0.125
    assert grid.drift < -0.05


def test_a_said_tempo_near_a_default_that_nobody_played_to_is_followed():
    grid = grid_of(events(110, loops=3), 120, said=110)
    assert grid.tempo == pytest.approx(110, rel=0.02)


def test_a_said_tempo_leaves_a_file_of_few_strokes_its_grid():
    grid = grid_of(events()[:3], said=95)
    assert (grid.known, grid.tempo) == (FILE, pytest.approx(TEMPO))


@pytest.mark.parametrize("tempo", [77, 88, 102, 140])
def test_a_default_that_nobody_played_to_is_left(tempo):
    grid = grid_of(events(tempo, start=640.0, loops=2), 120)
    assert grid.known == ESTIMATED
    assert grid.tempo == pytest.approx(tempo, rel=0.02)


def fast_and_loose(finest: float, spread: float, seed: int) -> list[tuple[float, int, int]]:
    """Three bars of a snare, each beat in quarters, eighths or as fine as that, with a spread."""
    random, quarter = Random(seed), 60_000 / 70
    struck = []
    for beat in range(12):
        division = random.choice([1.0, 0.5, finest, finest])
        for place in range(round(1 / division)):
            ms = (beat + place * division) * quarter + random.gauss(0, spread)
            struck.append((max(0.0, ms), KEYS[Surface.SNARE], 80))
    return sorted(struck)


@pytest.mark.parametrize("finest", [1 / 8, 1 / 6, 1 / 12])
@pytest.mark.parametrize("seed", range(4))
def test_nobody_leaves_a_file_by_playing_fine_notes(finest, seed):
    grid = grid_of(fast_and_loose(finest, 18.0, seed), 70)
    assert (grid.known, grid.tempo) == (FILE, pytest.approx(70))


@pytest.mark.parametrize("late", [-60, -30, 0, 30, 60])
def test_the_grid_of_a_file_moves_less_than_a_32nd_to_where_the_strokes_are(late):
    grid = grid_of(events(start=late + 0.0, jitter=25.0))
    assert off_the_bar_line(grid) < 0.125


def test_strokes_that_clearly_are_later_throughout_are_a_delay_of_the_recording():
    struck = events(60, start=120.0, jitter=4.0, loops=2)
    grid = grid_of(struck, 60)
    assert grid.known == FILE
    assert off_the_bar_line(grid, 120.0) < 0.03


@pytest.mark.parametrize(
    ("said", "times"),
    [(100, 1.0), (90, 1.0), (110, 1.0), (200, 2.0), (180, 2.0), (220, 2.0), (45, 0.5), (55, 0.5)],
)
def test_within_10_percent_a_said_tempo_counts_as_given_or_twice_or_half_as_fast(said, times):
    assert counted_as(said, 100) == times


@pytest.mark.parametrize("said", [89, 111, 150, 179, 221, 44, 56, 66, 300])
def test_any_other_is_another_tempo(said):
    assert counted_as(said, 100) is None
