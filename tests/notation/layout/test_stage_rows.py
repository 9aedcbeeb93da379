"""A fill in rows for the stage: each note once, ties over the cuts, beams and tuplets whole."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Surface
from rhythms.engine.bars.values import LENGTHS
from rhythms.engine.fills.fill import Stroke, snare_fill
from rhythms.notation.layout.parts import measures
from rhythms.notation.layout.stage_rows import (
    StageRow,
    bar_rows,
    in_two,
    onsets_in,
    row_parts,
    stage_rows,
)
from rhythms.notation.layout.symbols import Symbol
from tests.strategies import METERS, bars, bars_with_pickup, fills, ostinatos
from tests.thoroughness import examples

few = examples(100)
MOST = st.sampled_from((5, 9, 21))


@st.composite
def phrases(draw: st.DrawFn) -> Fill:
    """All that the stage may show: one bar or two, pick-ups, limbs together, feet that go on."""
    meter = draw(st.sampled_from(METERS))
    kind = draw(st.sampled_from(("one", "pick-up", "two", "feet")))
    if kind == "one":
        return draw(fills(meter, together=True))
    if kind == "pick-up":
        return snare_fill(draw(bars_with_pickup(meter)))
    if kind == "feet":
        plain = draw(fills(meter))
        return Fill(plain.bar, plain.strokes, draw(ostinatos(plain.bar.meter)))
    first, second = draw(bars(meter)), draw(bars(meter))
    later = [one._replace(onset=one.onset + first.meter.length) for one in second.events()]
    return snare_fill(Bar.from_events(first.meter.over(2), [*first.events(), *later]))


def symbols_of(fill: Fill, rows: tuple[StageRow, ...]) -> list[tuple[int, Symbol]]:
    """Each symbol with the number of its voice, in order of rows."""
    return [
        (part.number, symbol)
        for row in row_parts(fill, rows)
        for span in row
        for part in span
        for symbol in part.symbols
    ]


@few
@given(phrases(), MOST)
def test_the_rows_follow_each_other_to_the_end(fill: Fill, most: int) -> None:
    spans = [span for row in stage_rows(fill, most) for span in row]
    assert all(one.end == after.start for one, after in pairwise(spans))
    assert spans[-1].end == fill.bar.meter.length


@few
@given(phrases(), MOST)
def test_every_stroke_begins_once_in_each_voice_that_plays_it(fill: Fill, most: int) -> None:
    def attacks(found: list[tuple[int, Symbol]]) -> list[tuple[int, Fraction, int]]:
        return sorted((voice, one.onset, one.index) for voice, one in found if one.attack)

    on_a_page = [
        (part.number, symbol) for bar in measures(fill) for part in bar for symbol in part.symbols
    ]
    assert attacks(symbols_of(fill, stage_rows(fill, most))) == attacks(on_a_page)


@few
@given(phrases(), MOST)
def test_what_is_cut_goes_on_by_a_tie_and_its_pieces_add_up(fill: Fill, most: int) -> None:
    found = symbols_of(fill, stage_rows(fill, most))
    for voice, one in found:
        if one.tied_to:
            assert any(
                other.tied_from and other.index == one.index and other.onset == one.end
                for number, other in found
                if number == voice
            )
        assert LENGTHS[one.value] == one.length


@few
@given(phrases(), MOST)
def test_a_row_is_cut_where_a_beat_begins(fill: Fill, most: int) -> None:
    meter = fill.bar.meter
    for row in stage_rows(fill, most)[1:]:
        assert meter.is_on_beat(row[0].start)


@few
@given(phrases(), MOST)
def test_a_row_has_no_more_onsets_than_asked_where_it_can_be_cut(fill: Fill, most: int) -> None:
    meter = fill.bar.meter
    for row in stage_rows(fill, most):
        beats = [beat for beat in meter.beats if row[0].start <= beat.onset < row[-1].end]
        if onsets_in(fill, row) > most:
            # One beat, or beats that something goes on over which cannot be written in two.
            assert len(row) == 1
            finer = stage_rows(fill, 1)
            assert row in finer or len(beats) == 1


@pytest.mark.parametrize("meter", METERS)
def test_plain_eighths_fit_two_rows_upright_and_one_on_its_side(meter: str) -> None:
    bar = Bar.from_counts(" ".join(_eighths(meter)), meter)
    fill = snare_fill(bar)
    assert len(stage_rows(fill, 9)) <= 2
    assert len(stage_rows(fill, 21)) == 1


def _eighths(meter: str) -> list[str]:
    count, unit = meter.split(" ", maxsplit=1)[0].split("/")
    numbers = [str(number + 1) for number in range(int(count))]
    return numbers if unit == "8" else [word for one in numbers for word in (one, "&")]


def test_sixteen_16ths_are_cut_in_the_middle() -> None:
    fill = snare_fill(Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a"))
    assert stage_rows(fill, 9) == (((0, 2),), ((2, 4),))


def test_grace_notes_count() -> None:
    bar = Bar.from_counts("1 & 2 & 3 & 4 &")
    flams = Fill(bar, (Stroke(Surface.SNARE, "R", ornament="flam"),) * 8)
    assert onsets_in(flams, stage_rows(flams, 21)[0]) == 16
    assert len(stage_rows(flams, 9)) == 2


def test_seven_eighths_are_cut_between_its_groups() -> None:
    fill = snare_fill(Bar.from_counts("1 & 2 & 3 & 4 & 5 & 6 & 7 &", "7/8"))
    [[first], [second]] = stage_rows(fill, 9)
    assert (first.end, second.start) == (2, 2)


def test_a_note_held_over_the_cut_is_written_twice_and_tied() -> None:
    fill = snare_fill(Bar.from_counts("1 & - & 3 & 4 &"))
    held = [one for _, one in symbols_of(fill, stage_rows(fill, 2)) if one.index == 1]
    assert [(one.onset, one.value, one.tied_to) for one in held] == [
        (Fraction(1, 2), "eighth", True),
        (1, "eighth", False),
    ]


def test_a_pick_up_stands_with_its_bar_where_there_is_room() -> None:
    fill = snare_fill(Bar.from_counts("4 & a | 1 & 2 & 3 & 4"))
    assert [len(row) for row in stage_rows(fill, 21)] == [2]
    assert [len(row) for row in stage_rows(fill, 5)] == [1, 1, 1]


def halves(fill: Fill) -> tuple[StageRow, ...]:
    return tuple(half for row in bar_rows(fill) for half in in_two(fill, row))


@few
@given(phrases())
def test_cut_in_two_a_bar_goes_on_from_its_first_row_to_its_second(fill: Fill) -> None:
    for row in bar_rows(fill):
        spans = [span for half in in_two(fill, row) for span in half]
        assert (spans[0].start, spans[-1].end) == (row[0].start, row[-1].end)
        assert all(one.end == after.start for one, after in pairwise(spans))


@few
@given(phrases())
def test_cut_in_two_each_row_begins_with_a_beat_and_a_note_or_rest_of_its_own(fill: Fill) -> None:
    for row in bar_rows(fill):
        for second in in_two(fill, row)[1:]:
            assert fill.bar.meter.is_on_beat(second[0].start)
            [[[part]]] = row_parts(fill, [second], as_one=True)
            assert part.symbols[0].onset == second[0].start
            assert not part.symbols[0].tied_from


@few
@given(phrases())
def test_in_one_voice_every_stroke_begins_once_whatever_is_cut(fill: Fill) -> None:
    struck = [
        one.index
        for row in row_parts(fill, halves(fill), as_one=True)
        for [part] in row
        for one in part.symbols
        if one.attack
    ]
    assert struck == list(range(len(fill.strokes)))


def test_seven_quarters_are_cut_so_that_both_rows_have_as_many_notes_as_may_be() -> None:
    fill = snare_fill(Bar.from_counts("1 2 3 4 e & a 5 e & a 6 e & a 7 e & a", "7/4"))
    first, second = in_two(fill, bar_rows(fill)[0])
    assert (onsets_in(fill, first), onsets_in(fill, second)) == (11, 8)


def test_where_a_note_is_held_over_every_beat_a_bar_stays_one_row() -> None:
    fill = snare_fill(Bar.from_counts("1 & - & - & - &"))
    row = bar_rows(fill)[0]
    assert in_two(fill, row) == (row,)
