"""How much is kept of what was played: counted on fills whose answer is known."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from rhythms.bench.strokes_kept import WAYS_TO_READ, kept
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.human_fills import HumanFile, human_files
from tests.rhythms.test_learning_from_drummers import write_fill, write_list

SNARE, FLOOR_TOM, RIDE = 38, 43, 51
TEMPO = 120
UNISON = stroke_of([Hit(Surface.SNARE), Hit(Surface.FLOOR_TOM)])


def played(*struck: tuple[float, int]) -> HumanFile:
    """Keys at quarters from the bar line."""
    events = [(at * 60_000 / TEMPO, key, 90) for at, key in sorted(struck)]
    return HumanFile("one", Path("none.mid"), events, TEMPO)


def fill(*strokes: Stroke) -> Fill:
    return Fill(Bar.from_counts("1 2 3 4"), strokes)


ALL = [(0, SNARE), (0, FLOOR_TOM), (1, SNARE), (2, SNARE), (2, FLOOR_TOM), (3, SNARE)]
READ = fill(UNISON, Stroke(Surface.SNARE), UNISON, Stroke(Surface.SNARE))


def test_a_fill_with_every_stroke_is_complete():
    found = kept(played(*ALL), [(0, READ)])
    assert (found.strokes, found.kept, found.read, found.complete) == (6, 6, 6, True)


def test_a_second_hand_that_is_not_read_is_not_kept():
    read = fill(*(Stroke(Surface.SNARE),) * 4)
    found = kept(played(*ALL), [(0, read)])
    assert (found.kept, found.complete, found.read) == (4, False, 4)


def test_another_drum_keeps_nothing():
    found = kept(played((0, RIDE)), [(0, Fill(Bar.from_counts("1 - - -"), (UNISON,)))])
    assert (found.kept, found.read) == (0, 2)


def test_a_way_of_striking_a_drum_is_the_drum():
    read = Fill(Bar.from_counts("1 - - -"), (Stroke(Surface.RIM_SHOT),))
    assert kept(played((0, SNARE)), [(0, read)]).complete


@pytest.mark.parametrize(("late", "is_kept"), [(0.12, True), (0.13, False)])
def test_a_stroke_is_kept_within_a_32nd(late, is_kept):
    read = Fill(Bar.from_counts("1 - - -"), (Stroke(Surface.SNARE),))
    assert kept(played((late, SNARE)), [(0, read)]).complete == is_kept


def test_a_file_that_is_early_as_a_whole_is_aligned_first():
    found = kept(played(*((at + 0.15, key) for at, key in ALL)), [(0, READ)])
    assert (found.kept, found.kept_aligned, found.complete_aligned) == (0, 6, True)


def test_each_stroke_that_was_read_keeps_one():
    read = Fill(Bar.from_counts("1 - - -"), (Stroke(Surface.SNARE),))
    found = kept(played((0, SNARE), (0.1, SNARE)), [(0, read)])
    assert (found.strokes, found.kept) == (2, 1)


def test_a_flam_keeps_both_its_strokes():
    read = Fill(Bar.from_counts("1 - - -"), (Stroke(Surface.SNARE, ornament="flam"),))
    assert kept(played((-0.07, SNARE), (0, SNARE)), [(0, read)]).complete


def test_fills_stand_where_they_start():
    found = kept(played(*((4 + at, key) for at, key in ALL)), [(4, READ)])
    assert found.complete


@pytest.fixture
def folder(tmp_path) -> Path:
    for number in range(4):
        write_fill(tmp_path / f"{number}.mid", [SNARE, FLOOR_TOM, SNARE, RIDE] * 2, late=number)
    write_list(tmp_path, [("one", "0.mid"), ("one", "1.mid"), ("two", "2.mid"), ("two", "3.mid")])
    return tmp_path


@pytest.mark.parametrize("way", WAYS_TO_READ)
def test_every_way_to_read_keeps_what_was_typed(folder, way):
    found = [kept(file, WAYS_TO_READ[way](file)) for file in human_files(folder)]
    assert [one.complete for one in found] == [True] * 4
    assert [one.strokes for one in found] == [one.read for one in found] == [8] * 4


def test_the_command_says_how_much_is_kept_of_all_of_each_player_and_of_those_held_back(folder):
    out = StringIO()
    call_command("strokes_kept", folder, stdout=out)
    lines = out.getvalue().splitlines()
    assert lines[0].startswith("4 files.")
    assert [line.split("  ")[0] for line in lines[2:] if line[0] != " "] == list(WAYS_TO_READ)
    assert sum("100.00%" in line for line in lines) == 5 * len(WAYS_TO_READ)


def test_a_folder_without_a_list_is_refused(tmp_path):
    with pytest.raises(CommandError, match=r"no info\.csv"):
        call_command("strokes_kept", tmp_path)
