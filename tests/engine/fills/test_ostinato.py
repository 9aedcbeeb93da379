"""What feet keep playing: bar after bar, once where a stroke has the foot too, and stored."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Kit, Meter, Stroke, Surface
from rhythms.engine.errors import FillError
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.fills.hands import as_taught, fitting_as_taught, with_hands
from rhythms.engine.fills.ostinato import FootHit, Ostinato, ostinato, together
from rhythms.engine.kits.surfaces import FEET
from tests.strategies import fills, ostinatos

BASS, HAT = FEET
FOUR = Meter(4, 4)


def at(*places: tuple[float, Surface]) -> Ostinato:
    return ostinato("mine", FOUR, (FootHit(Fraction(onset), foot) for onset, foot in places))


@given(st.data())
def test_a_fill_keeps_its_ostinato_in_json(data):
    fill = data.draw(fills(together=True))
    going = Fill(fill.bar, fill.strokes, data.draw(ostinatos(fill.bar.meter)))
    stored = Fill.from_json(going.to_json())
    assert (stored, stored.ostinato) == (going, going.ostinato)


@given(fills(together=True))
def test_a_fill_without_one_is_stored_as_before(fill):
    assert fill.to_json().keys() == {"bar", "strokes"}


@given(st.data())
def test_it_does_not_make_another_fill(data):
    fill = data.draw(fills())
    going = Fill(fill.bar, fill.strokes, data.draw(ostinatos(fill.bar.meter)))
    assert going == fill
    assert len({going, fill}) == 1
    assert going.without_hands().ostinato == going.ostinato


@given(st.data())
def test_no_foot_strikes_twice_at_once(data):
    fill = data.draw(fills(together=True))
    going = Fill(fill.bar, fill.strokes, data.draw(ostinatos(fill.bar.meter)))
    own = [
        (note.onset, hit.surface)
        for note in fill.bar.sounded
        for hit in fill.strokes[note.index].foot_hits
    ]
    along = [(hit.onset, hit.surface) for hit in going.going_on]
    assert len({*own, *along}) == len(own) + len(along)
    wanted = {
        (hit.onset, hit.surface)
        for hit in going.ostinato.over(fill.bar.meter.bars)
        if hit.onset >= fill.bar.starts_at
    }
    assert {*along} == wanted - {*own}


def test_a_stroke_that_has_the_foot_already_strikes_it_as_it_says():
    loud = stroke_of([Hit(Surface.CRASH), Hit(BASS, "RF", "accent")])
    rest = [Stroke(Surface.SNARE)] * 3
    fill = Fill(Bar.from_counts("1 2 3 4"), (loud, *rest), at((0, BASS), (0, HAT), (2, BASS)))
    assert fill.going_on == (FootHit(Fraction(0), HAT), FootHit(Fraction(2), BASS))


def test_before_a_late_fill_the_feet_are_those_of_the_groove():
    bar = Bar.from_counts("(1) (2) (3) & 4")
    fill = Fill(bar, snare_fill(bar).strokes, at((0, BASS), (2, BASS), (2.5, HAT), (3, BASS)))
    assert [hit.onset for hit in fill.going_on] == [Fraction(5, 2), 3]


def test_a_fill_of_two_bars_has_it_in_each():
    bar = Bar.from_counts("1 2 3 4 | 1 2 3 4")
    fill = Fill(bar, snare_fill(bar).strokes, at((1, HAT), (3, HAT)))
    assert [hit.onset for hit in fill.going_on] == [1, 3, 5, 7]


def test_between_the_fills_of_a_phrase_the_feet_are_those_of_the_groove():
    """A small fill on 4 of the first bar, groove again, and a fill from 3 of the second on."""
    written = Bar.from_counts("(1) (2) (3) 4 | (1) (2) 3 4")
    phrase = replace(written, groove_from=(Fraction(4),))
    fill = replace(snare_fill(phrase), ostinato=at((0, HAT), (1, HAT), (2, HAT), (3, HAT)))
    assert [hit.onset for hit in fill.going_on] == [3, 6, 7]


def test_hands_are_filled_in_over_the_feet_asked_for_whatever_feet_these_strokes_had_before():
    kit, alone = Kit.standard(), snare_fill(Bar.from_counts("1 & 2 e & a 3 & 4"))
    for going in (None, at((0, BASS)), at((1, HAT), (3, HAT)), None):
        fill = replace(alone, ostinato=going)
        assert with_hands(fill, kit).ostinato == going
        assert as_taught(fill, kit, 80).ostinato == going
        fitting, _ = fitting_as_taught(fill, kit, 80)
        assert fitting.ostinato == going


def test_a_silent_bar_has_no_feet():
    assert Fill(Bar.from_counts("(1) (2) (3) (4)"), (), at((0, BASS))).going_on == ()


def test_two_are_played_as_one():
    both = together([at((0, BASS), (1, HAT)), at((1, HAT), (1, BASS))])
    assert [(hit.onset, hit.surface) for hit in both.hits] == [(0, BASS), (1, BASS), (1, HAT)]
    assert together([]) is None


@pytest.mark.parametrize(
    ("hit", "words"),
    [
        (FootHit(Fraction(0), Surface.SNARE), "No foot strikes the snare"),
        (FootHit(Fraction(4), BASS), "no place at 4 quarters"),
        (FootHit(Fraction(-1), BASS), "no place at -1 quarters"),
    ],
)
def test_what_no_foot_can_play_is_refused(hit, words):
    with pytest.raises(FillError, match=words):
        Ostinato("mine", FOUR, (hit,))


def test_feet_in_another_meter_are_refused():
    with pytest.raises(FillError, match="in 4/4 cannot go on under a fill in 3/4"):
        Fill(Bar.from_counts("1 2 3", "3/4"), (Stroke(Surface.SNARE),) * 3, at((0, BASS)))


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"name": "mine", "meter": "4/4"},
        {"name": "mine", "meter": "4/4", "hits": [["0", "gong", "normal"]]},
        {"name": "mine", "meter": "4/4", "hits": [["0", "bass drum", "loud"]]},
        {"name": "mine", "meter": "4/4", "hits": [["soon", "bass drum", "normal"]]},
        {"name": "mine", "meter": "4/4", "hits": [["0", "bass drum"]]},
        {"name": "mine", "meter": "4/4", "hits": 3},
    ],
)
def test_what_is_not_a_stored_ostinato_is_refused(data):
    with pytest.raises(FillError):
        Ostinato.from_json(data)
