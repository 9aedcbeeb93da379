"""Whether players are led out of what they always play: counted on fills whose answer is known."""

from __future__ import annotations

import pytest

from rhythms.bench import real_ways_out
from rhythms.bench.real_takes import real_takes
from rhythms.bench.real_ways_out import bright, moves_of, share_of, ways_out_section
from rhythms.engine import Bar, Surface
from rhythms.engine.fills.fill import Fill, Stroke
from tests.rhythms.test_learning_from_drummers import write_fill, write_list

SNARE, HI_HAT, FLOOR_TOM = 38, 42, 43
FOUR = Bar.from_counts("1 2 3 4")


def fill_of(*surfaces: str) -> Fill:
    return Fill(FOUR, tuple(Stroke(Surface(name)) for name in surfaces))


def test_moves_are_those_of_the_hands():
    fill = fill_of("snare", "bass drum", "ride", "snare")
    assert moves_of([fill]) == {("snare", "ride"): 1, ("ride", "snare"): 1}


def test_a_share_of_moves_is_of_all_moves():
    fill = fill_of("snare", "snare", "ride", "snare")
    assert share_of({(Surface.SNARE, Surface.SNARE)}, [fill]) == pytest.approx(1 / 3)


def test_cymbals_and_bells_are_a_share_of_hand_strokes():
    assert bright([fill_of("snare", "crash", "bass drum", "cowbell")]) == pytest.approx(2 / 3)


def test_a_player_who_goes_to_and_fro_is_led_to_other_moves(tmp_path, monkeypatch):
    monkeypatch.setattr(real_ways_out, "CASES", real_ways_out.CASES[2:3])
    keys = [SNARE, FLOOR_TOM] * 4
    for number in range(20):
        write_fill(tmp_path / f"{number}.mid", keys if number < 10 else [SNARE] * 8, late=number)
    whose = [("one" if number < 10 else "two", f"{number}.mid") for number in range(20)]
    write_list(tmp_path, whose)
    _, _, row, said, *others = ways_out_section(list(real_takes(tmp_path)))
    own, stranger, theirs, points, *_ = row.removeprefix("one, all").split()
    assert own == "100%"
    assert int(points) == pytest.approx(int(stranger[:-1]) - int(theirs[:-1]), abs=1)
    assert int(points) > 0
    assert said.strip().startswith(("your", "other", "another"))
    assert len(others) >= 9


def test_too_few_takes_have_no_row(tmp_path):
    """Nor has a player who is alone: nobody else is there to judge by."""
    write_fill(tmp_path / "0.mid", [SNARE, HI_HAT] * 4)
    write_list(tmp_path, [("one", "0.mid")])
    _, _, said = ways_out_section(list(real_takes(tmp_path)))
    assert said.startswith("Nobody has takes enough")
