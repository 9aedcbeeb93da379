"""The grid of the groove editor says the same as its lines."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Meter, Surface
from rhythms.engine.playback.groove_library import patterns
from rhythms.engine.playback.groove_line import read_line
from rhythms.grooves.groove_draft import GrooveDraft
from rhythms.grooves.groove_grid import SILENT, groove_grid, turned
from tests.thoroughness import examples


def draft(meter: str = "4/4", **lines: str) -> GrooveDraft:
    typed = {f"line-{drum.replace('_', '-')}": text for drum, text in lines.items()}
    return GrooveDraft.typed(typed | {"meter": meter})


def struck(grid) -> dict[Surface, list[tuple[Fraction, str]]]:
    found: dict[Surface, list[tuple[Fraction, str]]] = {}
    for beat in grid.beats:
        for row in beat.rows:
            found.setdefault(row.drum, []).extend(
                (place.onset, place.kind) for place in row.places if place.kind != SILENT
            )
    return {drum: places for drum, places in found.items() if places}


def as_draft(pattern) -> GrooveDraft:
    return GrooveDraft(str(pattern.meter), pattern.lines, pattern.setup)


def test_the_grid_of_every_groove_has_all_that_its_lines_have():
    wrong = [
        pattern.name
        for pattern in patterns()
        if struck(groove_grid(as_draft(pattern)))
        != {
            drum: [(hit.onset, hit.dynamic) for hit in read_line(text, _meter(pattern))]
            for drum, text in pattern.lines.items()
        }
    ]
    assert wrong == []


def _meter(pattern) -> Meter:
    return pattern.meter.over(pattern.bars)


def test_a_beat_is_as_fine_as_its_lines_need_or_as_chosen():
    typed = draft(hi_hat="1 & 2 & 3 4", snare="4 a")
    assert [beat.division for beat in groove_grid(typed).beats] == [
        "eighths", "eighths", "quarter", "16ths",
    ]  # fmt: skip
    chosen = ("16ths", "triplets", "eighths", "quarter")
    assert [beat.division for beat in groove_grid(typed, chosen).beats] == [
        "16ths", "eighths", "eighths", "16ths",
    ]  # fmt: skip


@pytest.mark.parametrize("nonsense", [("",), ("polka",), ("16ths",) * 99])
def test_whatever_is_chosen_there_is_a_grid(nonsense):
    assert len(groove_grid(draft(snare="2 4"), nonsense).beats) == 4


def test_two_bars_have_the_beats_of_both():
    grid = groove_grid(draft(snare="2 | 4"))
    assert [beat.title for beat in grid.beats][::4] == ["Bar 1, beat 1", "Bar 2, beat 1"]
    assert struck(grid) == {Surface.SNARE: [(1, "normal"), (7, "normal")]}


@pytest.mark.parametrize(
    "typed", [draft(snare="2 x"), draft("9/9", snare="2"), draft(hi_hat="1 e & a", snare="1 ka")]
)
def test_what_cannot_be_read_leaves_the_last_grid(typed):
    assert groove_grid(typed) is None


@pytest.mark.parametrize(
    ("line", "turns", "after"),
    [
        ("2", ["snare 3"], "2 4"),
        ("2 4", ["snare 3"], "2 4>"),
        ("2 4>", ["snare 3"], "2 4<"),
        ("2 4<", ["snare 3"], "2"),
        ("2", ["snare 1"] * 4, "2"),
        ("", ["snare 0", "snare 0", "snare 7/2"], "1> (4) &"),
        ("2", ["snare 1", "snare 1", "snare 1"], ""),
    ],
)
def test_a_touch_turns_a_place(line, turns, after):
    assert turned(draft(snare=line), turns) == {Surface.SNARE: after}


@pytest.mark.parametrize(
    "turn", ["", "snare", "gong 1", "snare x", "snare 1/0", "snare -1", "snare 1/3/4", "\x00 1"]
)
def test_what_names_no_place_is_left(turn):
    assert turned(draft(snare="2"), [turn]) == {}


def test_a_line_that_cannot_be_read_is_left_for_whoever_typed_it():
    assert turned(draft(snare="2 x", hi_hat="1"), ["snare 1", "hi-hat 1"]) == {
        Surface.HI_HAT: "1 2"
    }


def test_a_place_after_the_bars_is_none():
    assert turned(draft(snare="2"), ["snare 99"]) == {Surface.SNARE: "2"}


@examples(200)
@given(st.lists(st.sampled_from([Fraction(k, 4) for k in range(16)]), max_size=12))
def test_touches_add_up_place_by_place(onsets):
    """A place that was touched n times is as n times round silent, struck, accented, soft."""
    line = turned(draft(), [f"snare {onset}" for onset in onsets]).get(Surface.SNARE, "")
    round_of = (SILENT, "normal", "accent", "ghost")
    wanted = {on: round_of[onsets.count(on) % 4] for on in onsets if onsets.count(on) % 4}
    hits = {hit.onset: hit.dynamic for hit in read_line(line, Meter(4, 4))} if line else {}
    assert hits == wanted
