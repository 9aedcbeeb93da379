"""Fills, grooves and blocks with a feel: what is heard when."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.bars.feel import LEAST, MOST, PAIRS, STRAIGHT, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import plain_pulse
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import GRACE, Block, fill_timeline
from tests.strategies import fills

TRIPLET = Feel(67)
FEELS = st.builds(Feel, st.integers(LEAST, MOST), st.sampled_from(sorted(PAIRS)))


def in_rock(fill: Fill, feel: Feel, bars: int = 4) -> Block:
    return Block(fill, groove_named("rock", Meter(4, 4)), bars, feel=feel)


@given(fills())
def test_a_straight_feel_changes_nothing(fill):
    assert fill_timeline(fill, feel=Feel(50, "16ths")) == fill_timeline(fill)


@given(fills(), FEELS)
def test_swing_moves_sounds_and_nothing_else(fill, feel):
    straight, heard = fill_timeline(fill), fill_timeline(fill, feel=feel)
    assert [s._replace(onset=0) for s in heard] == [s._replace(onset=0) for s in straight]


@given(fills(), FEELS)
def test_every_swung_stroke_is_heard_where_the_feel_has_its_note(fill, feel):
    block = Block(fill, plain_pulse(fill.bar.meter), 4, feel=feel)
    first = {s.note: s.onset for s in reversed(block.fill_bar) if not s.grace}
    warp = feel.warp_of(fill.bar)
    assert first == {note.index: warp.sounding(note.onset) for note in fill.bar.sounded}


@given(fills(), FEELS)
def test_swung_sounds_keep_their_order_and_none_falls_on_another(fill, feel):
    onsets = [sound.onset for sound in fill_timeline(fill, feel=feel)]
    assert all(one < other for one, other in pairwise(onsets))


@given(fills(), FEELS)
def test_grace_notes_are_no_further_from_their_stroke_than_without_swing(fill, feel):
    sounds = fill_timeline(fill, feel=feel)
    for index, sound in enumerate(sounds):
        if sound.grace:
            stroke = next(later for later in sounds[index:] if not later.grace)
            assert 0 < stroke.onset - sound.onset <= 2 * GRACE


def flammed(counts: str, note: int) -> list[Fraction]:
    bar = Bar.from_counts(counts)
    strokes = (
        Stroke(Surface.SNARE, ornament="flam" if sounded.index == note else None)
        for sounded in bar.sounded
    )
    return [s.onset for s in fill_timeline(Fill(bar, tuple(strokes)), feel=TRIPLET)]


def test_a_flam_is_as_wide_before_a_swung_note_as_before_a_beat():
    assert flammed("1 & 2 3 4", 1)[1:3] == [Fraction(2, 3) - GRACE, Fraction(2, 3)]
    assert flammed("1 & 2 3 4", 2)[2:4] == [1 - GRACE, Fraction(1)]


@given(fills("4/4"), FEELS)
def test_a_swung_block_is_in_order_and_lands_on_one(fill, feel):
    block = in_rock(fill, feel)
    onsets = [sound.onset for sound in block.sounds]
    assert onsets == sorted(onsets)
    assert [s.surface for s in block.sounds if s.onset == block.length] == [
        Surface.CRASH,
        Surface.BASS_DRUM,
    ]


def test_the_groove_swings_with_the_fill():
    block = in_rock(snare_fill(Bar.from_counts("1 & 2 & 3 & 4 &")), TRIPLET)
    hats = [s.onset for s in block.groove_bar() if s.surface is Surface.HI_HAT]
    assert hats == [Fraction(k, 3) for k in (0, 2, 3, 5, 6, 8, 9, 11)]
    assert hats == [sound.onset for sound in block.fill_bar]


def test_a_groove_in_triplets_is_played_as_written():
    fill = snare_fill(Bar.from_counts("1 2 3 4"))
    shuffle = groove_named("shuffle", Meter(4, 4))
    assert Block(fill, shuffle, feel=TRIPLET).groove_bar() == Block(fill, shuffle).groove_bar()


def test_groove_that_would_be_heard_with_the_first_stroke_of_a_late_fill_is_left_out():
    late = snare_fill(Bar.from_counts("(1) (2) (3) (4) (trip) let"))
    before = Block(late, groove_named("rock", Meter(4, 4)), feel=STRAIGHT).lead_in
    swung = Block(late, groove_named("rock", Meter(4, 4)), feel=TRIPLET).lead_in
    assert before[-1].onset == Fraction(7, 2)
    assert swung[-1].onset == 3
