"""A phrase: groove, a smaller fill half-way, groove again, and the fill at its end."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rhythms.engine import Bar, FillSpace, Kit, Meter, RuleSet, Surface
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.bars.turned import backwards
from rhythms.engine.errors import BarError
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.ostinato_library import ostinato_named
from rhythms.engine.playback.timeline import Block
from rhythms.engine.space.conflict import conflict_in_words
from tests.strategies import sounding_bars

SOURCE = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")


@pytest.mark.parametrize(
    ("bars", "smaller", "counts"),
    [
        (
            4,
            2,
            "(1) - - - | (1) - 3 & 4 e & a | (1) - - - | 1 & 2 e & a 3 & 4 e & a",
        ),
        (2, 1, "(1) - - 4 e & a | 1 & 2 e & a 3 & 4 e & a"),
        (2, 0, "(1) - - - | 1 & 2 e & a 3 & 4 e & a"),
    ],
)
def test_the_fill_is_at_the_end_and_its_last_beats_are_half_way(bars, smaller, counts):
    assert phrase_of(SOURCE, bars, smaller).counts() == counts


@given(sounding_bars(), st.sampled_from([2, 4]), st.integers(0, 2))
def test_a_phrase_has_the_strokes_of_the_bar_and_those_of_its_last_beats(bar, bars, smaller):
    assume(smaller < len(bar.meter.beats) - len(bar.lead_in))
    phrase = phrase_of(bar, bars, smaller)
    end, half = phrase.meter.length, phrase.meter.length / 2
    later = end - bar.meter.length
    start = bar.meter.beats[-smaller].onset if smaller else bar.meter.length
    assert [note.onset for note in phrase.sounded] == sorted(
        [note.onset + later for note in bar.sounded]
        + [n.onset + half - bar.meter.length for n in bar.sounded if n.onset >= start]
    )
    assert Bar.from_json(phrase.to_json()) == phrase


def test_groove_goes_on_up_to_each_of_the_fills():
    phrase = phrase_of(SOURCE.last_beats(2), 4, 1)
    assert phrase.groove_spans == ((0, 7), (8, 14))
    assert {beat.onset for beat in phrase.groove_beats} == {*range(7), *range(8, 14)}


@pytest.mark.parametrize(
    ("bar", "bars", "smaller", "leading"),
    [
        (SOURCE, 4, 2, (0, 2)),
        (SOURCE.last_beats(2), 4, 1, (0, 2)),
        (SOURCE, 4, 0, (2,)),
        (SOURCE, 2, 1, (-1,)),
        (SOURCE, 2, 0, (0,)),
        (Bar.from_counts("1 2 3 4 | 1 2 3 4"), 4, 2, (0,)),
        (Bar.from_counts("4 & | 1 2 3 4"), 4, 2, (0,)),
    ],
)
def test_the_last_whole_bar_of_groove_before_each_fill_leads_into_it(bar, bars, smaller, leading):
    assert phrase_of(bar, bars, smaller).leading_bars == leading


@given(sounding_bars(), st.sampled_from([2, 4]), st.integers(0, 2))
def test_a_bar_that_leads_in_is_groove_alone_and_a_fill_starts_in_the_next_one(bar, bars, smaller):
    assume(smaller < len(bar.meter.beats) - len(bar.lead_in))
    phrase = phrase_of(bar, bars, smaller)
    length = phrase.meter.bar_length
    struck = {note.onset // length for note in phrase.sounded}
    assert phrase.leading_bars[0] + 1 == min(struck)
    assert all(bar not in struck and bar + 1 in struck for bar in phrase.leading_bars)


def test_each_fill_of_a_phrase_is_set_up_where_its_groove_does_so():
    rock = groove_named("rock", Meter(4, 4))
    block = Block(snare_fill(phrase_of(SOURCE, 4, 1)), rock, 8, sets_up=True)
    bars = [block.groove_bar(number) for number in range(7)]
    assert block.setting_up == (4, 6)
    assert bars[4] == bars[6] != bars[0]
    assert {bars[number] for number in (1, 2, 3, 5)} == {bars[0]}
    set_up = [sound.onset for sound in bars[6] if sound.surface is Surface.SNARE]
    heard = [s.onset for s in block.sounds if s.surface is Surface.SNARE and s.note is None]
    assert [onset - 24 for onset in heard if 24 <= onset < 28] == set_up == [1, 3, Fraction(7, 2)]


def test_a_block_as_long_as_a_phrase_of_groove_alone_is_groove_up_to_its_fill():
    block = Block(snare_fill(phrase_of(SOURCE, 4, 0)), groove_named("rock", Meter(4, 4)), 4)
    groove = [sound.onset for sound in block.sounds if sound.note is None]
    assert {onset // 4 for onset in groove} == {0, 1, 2, 4}


def test_a_block_sounds_groove_between_the_fills_of_a_phrase():
    phrase = phrase_of(SOURCE, 4, 1)
    for bars, start in ((4, 0), (8, 16)):
        block = Block(snare_fill(phrase), groove_named("rock", Meter(4, 4)), bars)
        groove = [s.onset - start for s in block.sounds if s.note is None and s.onset >= start]
        assert {onset // 4 for onset in groove} == {0, 1, 2, 4}
        assert max(onset for onset in groove if onset < 8) < 7
        assert [sound.onset for sound in block.sounds] == sorted(s.onset for s in block.sounds)


def test_feet_keep_going_once_under_groove_and_fills():
    fill = replace(
        snare_fill(phrase_of(SOURCE, 4, 1)),
        ostinato=ostinato_named("four on the floor", Meter(4, 4)),
    )
    block = Block(fill, groove_named("plain pulse", Meter(4, 4)), 4)
    feet = [s.onset for s in block.sounds if s.surface is Surface.BASS_DRUM and s.onset < 16]
    assert len(feet) == len(set(feet))
    assert [onset for onset in feet if onset >= 12] == [12, 13, 14, 15]


@pytest.mark.parametrize(
    ("bar", "bars", "smaller"),
    [
        (Bar.from_counts("1 2 3 4 | 1 2 3 4"), 2, 1),
        (SOURCE, 2, 4),
        (SOURCE.last_beats(1), 4, 1),
        (phrase_of(SOURCE, 2, 1), 4, 1),
    ],
)
def test_what_does_not_fit_into_a_phrase_is_refused(bar, bars, smaller):
    with pytest.raises(BarError):
        phrase_of(bar, bars, smaller)


PHRASE = {"rule": "phrase", "bars": "4", "smaller": 1}


def space(*rules: dict) -> FillSpace:
    return FillSpace(SOURCE, RuleSet.from_json(list(rules)), Kit.of(["snare", "floor tom"]))


def test_both_fills_of_a_phrase_are_counted():
    assert space(PHRASE).size == 2 ** (len(SOURCE.sounded) + 4)


@pytest.mark.parametrize(
    "rules", [[PHRASE, {"rule": "play backwards"}], [{"rule": "play backwards"}, PHRASE]]
)
def test_the_rhythm_is_changed_before_the_phrase_is_made_of_it(rules):
    assert space(*rules).setting.bar == phrase_of(backwards(SOURCE), 4, 1)


def test_an_answer_follows_the_whole_phrase():
    two = PHRASE | {"bars": "2"}
    bar = space({"rule": "own answer"}, two).setting.bar
    assert (bar.meter.bars, bar.open_from) == (4, 8)
    assert bar.groove_spans == ((0, 3), (4, 4))


def test_a_smaller_fill_as_long_as_the_fill_leaves_none_and_says_why():
    too_long = space(PHRASE | {"smaller": 4})
    assert too_long.size == 0
    assert "no longer than the smaller one" in conflict_in_words(too_long)
