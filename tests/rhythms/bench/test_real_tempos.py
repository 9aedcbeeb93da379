"""Files of real players whose tempo and bar line are known: how many are read so."""

from __future__ import annotations

from pathlib import Path

import pytest

from rhythms.bench.real_takes import RealTake, real_takes
from rhythms.bench.real_tempos import (
    AS_SENT,
    in_a_row,
    is_right,
    leaves_the_default,
    tempos_read,
    tempos_section,
)
from rhythms.engine import Meter
from rhythms.engine.takes import FILE, Grid
from tests.rhythms.test_learning_from_drummers import write_fill, write_list

SNARE, FLOOR_TOM, BASS_DRUM = 38, 43, 36
METER = Meter(4, 4)


def taken(folder: Path, bpm: int, files: int) -> list[RealTake]:
    for number in range(files):
        write_fill(folder / f"{number}.mid", [BASS_DRUM, SNARE, FLOOR_TOM, SNARE] * 4, bpm=bpm)
    write_list(folder, [("one", f"{number}.mid") for number in range(files)])
    return list(real_takes(folder))


@pytest.mark.parametrize(
    ("tempo", "start", "right"),
    [
        (100.0, 0.0, True),
        (101.9, 0.0, True),
        (102.1, 0.0, False),
        (100.0, 74.0, True),
        (100.0, -74.0, True),
        (100.0, 76.0, False),
        (100.0, 2400.0, True),
        (200.0, 0.0, False),
    ],
)
def test_right_is_a_tempo_within_2_percent_and_a_bar_line_within_a_32nd(tempo, start, right):
    assert is_right(Grid.steady(METER, tempo, start, FILE), 100.0) == right


def test_a_take_without_a_grid_is_not_right():
    assert not is_right(None, 100.0)


def test_a_take_is_read_as_sent_and_after_each_tempo_that_is_said(tmp_path):
    (take,) = taken(tmp_path, 100, 1)
    assert list(tempos_read(take).right.values()) == [True] * 4


def test_what_is_wrong_as_it_was_sent_is_counted_as_wrong(tmp_path):
    (take,) = taken(tmp_path, 100, 1)
    wrong = take._replace(file=take.file._replace(tempo=80.0))
    assert not tempos_read(wrong).right[AS_SENT]


def test_fills_in_a_row_are_seen_to_leave_a_tempo_that_a_program_gave(tmp_path):
    rows = list(in_a_row(taken(tmp_path, 88, 7)))
    assert [len(row) for row in rows] == [6]
    assert leaves_the_default(rows[0])


def test_who_plays_at_the_default_or_its_half_cannot_leave_it(tmp_path):
    assert list(in_a_row(taken(tmp_path, 120, 6))) == []
    assert list(in_a_row(taken(tmp_path, 61, 6))) == []


def test_the_table_counts_files(tmp_path):
    lines = list(tempos_section(taken(tmp_path, 88, 6)))
    assert lines[2].split()[:4] == ["all", "6", "of", "6"]
    assert lines[-1].endswith("1 of 1 are seen to leave it.")
