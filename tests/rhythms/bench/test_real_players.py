"""What is said of the takes of real players: counted on takes whose answer is known."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from rhythms.bench import variety_cover
from rhythms.bench.real_fills import fills_read, is_cut
from rhythms.bench.real_takes import real_takes
from rhythms.bench.variety_cover import variety_section
from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.takes import Analysis
from tests.rhythms.test_learning_from_drummers import write_fill, write_list

SNARE, HI_HAT, FLOOR_TOM, RIDE = 38, 42, 43, 51
ONE_BAR, TWO_BARS = (snare_fill(Bar.from_counts(line)) for line in ("1 2 3 4", "1 2 3 4 | 1 2 3 4"))


@pytest.fixture(autouse=True)
def few_students(monkeypatch):
    """The simulated ones are as many as it takes to be sure, and take half a minute."""
    monkeypatch.setattr(variety_cover, "STUDENTS", 2)
    monkeypatch.setattr(variety_cover, "TAKES", (8, 12))


@pytest.fixture
def folder(tmp_path) -> Path:
    for number in range(4):
        write_fill(tmp_path / f"{number}.mid", [SNARE, FLOOR_TOM, SNARE, RIDE] * 2, late=number)
    write_list(tmp_path, [("one", "0.mid"), ("one", "1.mid"), ("two", "2.mid"), ("two", "3.mid")])
    return tmp_path


def test_a_file_is_taken_in_with_its_own_click(folder):
    recordings = [take.recording for take in real_takes(folder)]
    assert [one.click for one in recordings] == [(120, 0.0)] * 4
    assert [str(one.meter) for one in recordings] == ["4/4"] * 4
    assert all(one.of_file for one in recordings)


def test_a_fill_that_was_found_as_it_was_typed_has_every_stroke_written(folder):
    found = [fills_read(take) for take in real_takes(folder)]
    assert [(one.fills, one.cut) for one in found] == [(1, False)] * 4
    assert [one.strokes.complete for one in found] == [True] * 4
    assert [one.strokes.read for one in found] == [8] * 4


def test_strokes_in_bars_of_groove_are_counted_apart(tmp_path):
    write_fill(tmp_path / "0.mid", [HI_HAT] * 16 + [SNARE, FLOOR_TOM] * 4)
    write_list(tmp_path, [("one", "0.mid")])
    (found,) = (fills_read(take) for take in real_takes(tmp_path))
    assert (found.fills, found.in_groove) == (1, 16)
    assert (found.strokes.strokes, found.strokes.kept) == (24, 8)


@pytest.mark.parametrize(
    ("fills", "starts", "groove", "cut"),
    [
        ([ONE_BAR], [0], [], False),
        ([ONE_BAR, ONE_BAR], [0, 1], [], True),
        ([TWO_BARS, ONE_BAR], [0, 2], [], True),
        ([ONE_BAR, ONE_BAR], [0, 2], [1], False),
        ([ONE_BAR, ONE_BAR], [0, 2], [], True),
        ([ONE_BAR, ONE_BAR], [0, 4], [], False),
    ],
    ids=["one", "two", "three bars", "groove between", "an empty bar between", "too far apart"],
)
def test_a_phrase_is_cut_where_fills_without_groove_between_are_short_enough_to_be_one(
    fills, starts, groove, cut
):
    found = Analysis(9, {}, groove_bars=tuple(groove), fills=tuple(fills), fill_bars=tuple(starts))
    assert is_cut(found) == cut


def test_the_command_says_what_is_made_of_all_of_each_player_and_of_those_held_back(folder):
    out = StringIO()
    call_command("real_players", folder, section=["tempos", "fills"], stdout=out)
    sections = out.getvalue().split("\n\n")
    lines = next(one for one in sections if one.startswith("Fills.")).splitlines()
    rows = {line[:26].strip(): line.split()[-8:] for line in lines[2:]}
    assert list(rows) == ["all", "one", "two", "every other one", "the others, held back"]
    assert rows["all"] == ["4", "0.0%", "0.0%", "32", "0.0%", "100.0%", "100.0%", "0.0%"]


def test_nobody_is_led_out_of_the_habits_of_a_few_takes(folder):
    out = StringIO()
    call_command("real_players", folder, section=["ways-out"], stdout=out)
    assert "Nobody has takes enough, or nobody else has, to judge by." in out.getvalue()


def test_how_many_different_fills_is_held_against_what_is_known(tmp_path):
    """A player of one fill plays one, whichever takes are drawn; two takes say nothing."""
    for number in range(10):
        write_fill(tmp_path / f"{number}.mid", [SNARE, FLOOR_TOM, SNARE, RIDE] * 2)
    players = ["one"] * 8 + ["two"] * 2
    write_list(tmp_path, [(who, f"{number}.mid") for number, who in enumerate(players)])
    takes = list(real_takes(tmp_path))
    lines = list(variety_section([*takes, takes[0]]))
    assert lines[-3].startswith("  one: 1.00 (1.00 to 1.5")
    assert lines[-2:] == [
        "      8 takes: 20 near, 20 intervals hold it",
        "  two: too few to say",
    ]
    rows = [line.split() for line in lines if line.startswith(("the prior", "anything"))]
    assert [row[-7] for row in rows] == ["8", "12"] * 2
    assert all(0 <= int(row[at]) <= 2 for row in rows for at in (-6, -4, -2))


def test_players_of_the_same_fills_are_told_nothing_of_each_other(folder):
    """Each has two takes, and nothing is said of so few."""
    out = StringIO()
    call_command("real_players", folder, section=["facts"], stdout=out)
    assert "one, 2 takes: 0 facts" in out.getvalue()
    assert "two, 2 takes: 0 facts" in out.getvalue()


def test_a_folder_without_a_list_is_refused_by_the_command(tmp_path):
    with pytest.raises(CommandError, match=r"no info\.csv"):
        call_command("real_players", tmp_path)


def test_a_file_without_a_note_is_named(tmp_path):
    write_fill(tmp_path / "0.mid", [SNARE])
    (tmp_path / "0.mid").write_bytes((tmp_path / "0.mid").read_bytes().replace(b"\x99", b"\x89"))
    write_list(tmp_path, [("one", "0.mid")])
    with pytest.raises(CommandError, match=r"0\.mid cannot be read: No note is played"):
        call_command("real_players", tmp_path)
