"""The timeline of a fill and of its block."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import Groove, GrooveError, plain_pulse
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import (
    AFTER_A_BUZZ,
    BLOCK_BARS,
    BOUNCE,
    FEWEST_BOUNCES,
    GRACE,
    Block,
    Sound,
    fill_timeline,
)
from tests.strategies import fills

GRACES = {"flam": 1, "drag": 2}


def on_snare(counts: str, *ornaments: str | None) -> Fill:
    bar = Bar.from_counts(counts)
    dressed = (*ornaments, *[None] * len(bar.sounded))
    strokes = (Stroke(Surface.SNARE, ornament=dressed[note.index]) for note in bar.sounded)
    return Fill(bar, tuple(strokes))


def block_of(fill: Fill, bars: int = 4) -> Block:
    return Block(fill, plain_pulse(fill.bar.meter), bars)


def main_strokes(sounds: tuple[Sound, ...]) -> dict[int, Sound]:
    """The first sound of each stroke that is no grace note."""
    return {s.note: s for s in reversed(sounds) if s.note is not None and not s.grace}


@given(fills(ornaments=False))
def test_strokes_sound_on_their_onsets_as_written(fill):
    assert fill_timeline(fill) == tuple(
        Sound(note.onset, stroke.surface, stroke.dynamic, note.index)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    )


@given(fills(), st.sampled_from(BLOCK_BARS))
def test_no_stroke_of_a_fill_in_a_block_is_late(fill, bars):
    block = block_of(fill, bars)
    struck = main_strokes(block.sounds)
    assert [struck[note.index].onset - block.fill_onset for note in fill.bar.sounded] == [
        note.onset for note in fill.bar.sounded
    ]


@given(fills(), st.sampled_from(BLOCK_BARS))
def test_a_block_is_in_order_and_ends_with_the_landing_on_one(fill, bars):
    block = block_of(fill, bars)
    onsets = [sound.onset for sound in block.sounds]
    assert onsets == sorted(onsets)
    assert onsets[-1] == bars * fill.bar.meter.length
    last = [sound.surface for sound in block.sounds if sound.onset == block.length]
    assert last == [Surface.CRASH, Surface.BASS_DRUM]


@given(fills())
def test_two_sounds_of_a_fill_never_fall_together(fill):
    onsets = [sound.onset for sound in fill_timeline(fill)]
    assert len(set(onsets)) == len(onsets)


@given(fills())
def test_every_grace_note_is_soft_and_shortly_before_its_stroke(fill):
    sounds = block_of(fill).fill_bar
    struck = main_strokes(sounds)
    for sound in sounds:
        if sound.grace:
            graces = GRACES[fill.strokes[sound.note].ornament]
            assert 0 < struck[sound.note].onset - sound.onset <= graces * GRACE
            assert sound.dynamic == "ghost"


@pytest.mark.parametrize(("ornament", "graces"), [("flam", 1), ("drag", 2)])
def test_a_fill_that_opens_with_an_ornament_reaches_back_over_the_bar_line_in_a_block(
    ornament, graces
):
    fill = on_snare("1 2 3 4", ornament)
    assert [s.onset for s in block_of(fill).fill_bar[: graces + 1]] == [
        -GRACE * number for number in range(graces, -1, -1)
    ]
    assert [s.onset for s in fill_timeline(fill)[: graces + 1]] == [
        GRACE * number for number in range(graces + 1)
    ]


def test_a_diddle_is_two_even_strokes_of_one_note():
    sounds = fill_timeline(on_snare("1 & 2 3 4", "diddle"))
    assert [(s.onset, s.note) for s in sounds[:3]] == [
        (0, 0),
        (Fraction(1, 4), 0),
        (Fraction(1, 2), 1),
    ]


def bounces_of(fill: Fill) -> dict[int, list[Sound]]:
    """What sounds of each buzz after its stroke."""
    sounds = fill_timeline(fill)
    buzzes = [note for note, stroke in enumerate(fill.strokes) if stroke.ornament == "buzz"]
    return {note: [s for s in sounds if s.note == note][1:] for note in buzzes}


@given(fills())
def test_a_buzz_goes_on_softly_inside_its_note(fill):
    for note, bounces in bounces_of(fill).items():
        struck, stroke = fill.bar.sounded[note], fill.strokes[note]
        assert len(bounces) >= FEWEST_BOUNCES
        assert {(s.surface, s.dynamic) for s in bounces} == {(stroke.surface, "ghost")}
        assert all(struck.onset < s.onset < struck.end for s in bounces)


@given(fills())
def test_a_buzz_is_dense_and_leaves_the_next_stroke_and_its_grace_notes_their_room(fill):
    """Further from the next stroke than from bounce to bounce, where the note is long enough."""
    for note, bounces in bounces_of(fill).items():
        struck = fill.bar.sounded[note]
        at = [struck.onset, *(s.onset for s in bounces)]
        assert all(then - here <= BOUNCE for here, then in pairwise(at))
        if struck.length >= Fraction(1, 4):
            assert struck.end - at[-1] >= AFTER_A_BUZZ


def test_a_buzz_of_an_eighth_is_nine_bounces_close_together():
    (bounces,) = bounces_of(on_snare("1 & 2 3 4", "buzz")).values()
    assert [s.onset for s in bounces] == [Fraction(7 * k, 144) for k in range(1, 10)]


def test_the_groove_is_played_in_every_bar_but_the_last():
    groove = groove_named("rock", Meter(4, 4))
    sounds = Block(on_snare("1 2 3 4"), groove, 8).sounds
    bars = [sound.onset // 4 for sound in sounds if sound.note is None]
    assert [bars.count(bar) for bar in range(9)] == [len(groove.hits)] * 7 + [0, 2]


def test_the_groove_goes_on_in_the_last_bar_until_the_fill_starts():
    groove = groove_named("rock", Meter(4, 4))
    block = Block(on_snare("(1) (2) & 3 4"), groove, 4)
    last = [sound for sound in block.sounds if 12 <= sound.onset < 16]
    before = [sound for sound in last if sound.note is None]
    assert [(s.onset - 12, s.surface) for s in before] == [
        (hit.onset, hit.surface) for hit in groove.hits if hit.onset < Fraction(3, 2)
    ]
    assert min(sound.onset for sound in last if sound.note is not None) == 12 + Fraction(3, 2)


def test_a_late_fill_that_opens_with_an_ornament_reaches_back_over_the_groove_before_it():
    shuffle = groove_named("shuffle", Meter(4, 4))
    graces = Block(on_snare("(1) (2) 3 4", "drag"), shuffle).fill_bar[:2]
    assert [sound.onset for sound in graces] == [2 - 2 * GRACE, 2 - GRACE]


def test_a_fill_of_two_bars_has_the_last_two_of_its_block():
    groove = groove_named("rock", Meter(4, 4))
    block = Block(on_snare("1 2 3 4 | 1 2 3 4"), groove, 4)
    bars = [sound.onset // 4 for sound in block.sounds if sound.note is None]
    assert [bars.count(bar) for bar in range(5)] == [len(groove.hits)] * 2 + [0, 0, 2]
    assert block.fill_onset == 8
    assert Block(on_snare("1 2 3 4 | 1 2 3 4"), groove, 2).sounds[0].note == 0


def test_groove_goes_on_over_the_bar_line_before_a_late_fill_of_two_bars():
    groove = groove_named("rock", Meter(4, 4))
    block = Block(on_snare("(1) (2) (3) (4) | (1) 2 3 4"), groove, 4)
    assert {sound.onset // 4 for sound in block.lead_in} == {0, 1}
    assert max(sound.onset for sound in block.lead_in) < 5


def test_a_block_shorter_than_its_fill_is_refused():
    with pytest.raises(GrooveError, match="at least"):
        Block(on_snare("1 2 3 4 | 1 2 3 4"), plain_pulse(Meter(4, 4)), 1)


def test_a_bar_without_a_stroke_is_groove():
    sounds = Block(on_snare("(1) (2) (3) (4)"), plain_pulse(Meter(4, 4)), 2).sounds
    bars = [sound.onset // 4 for sound in sounds]
    assert bars.count(0) == bars.count(1)


def test_the_fill_alone_has_no_groove():
    sounds = Block(on_snare("1 2 3 4"), plain_pulse(Meter(4, 4)), 1).sounds
    assert [(s.onset, s.surface) for s in sounds if s.note is None] == [
        (4, Surface.CRASH),
        (4, Surface.BASS_DRUM),
    ]


def test_the_crash_of_the_landing_is_accented_and_the_bass_drum_is_not():
    block = Block(on_snare("1 2 3 4"), plain_pulse(Meter(4, 4)))
    landing = {sound.surface: sound.dynamic for sound in block.landing}
    assert landing == {Surface.CRASH: "accent", Surface.BASS_DRUM: "normal"}


def test_a_kit_without_cymbals_lands_on_an_accent_and_the_bass_drum():
    block = Block(
        on_snare("1 2 3 4"),
        plain_pulse(Meter(4, 4)),
        surfaces=(Surface.SNARE, Surface.BASS_DRUM),
    )
    landing = {sound.surface: sound.dynamic for sound in block.landing}
    assert landing == {Surface.SNARE: "accent", Surface.BASS_DRUM: "normal"}


def test_a_groove_in_another_meter_is_refused():
    with pytest.raises(GrooveError, match="3/4 does not lead to a fill in 4/4"):
        Block(on_snare("1 2 3 4"), plain_pulse(Meter(3, 4)))


def test_a_block_of_no_bar_is_refused():
    with pytest.raises(GrooveError, match="at least"):
        Block(on_snare("1 2 3 4"), plain_pulse(Meter(4, 4)), 0)


def played_in(block: Block, number: int) -> list[tuple[Fraction, Surface]]:
    """What the groove plays in a bar of the block, onsets from its bar line."""
    length = block.meter.length
    return [
        (sound.onset - number * length, sound.surface)
        for sound in block.sounds
        if sound.note is None and sound.onset // length == number
    ]


def hits_of(groove: Groove, number: int, *, setting_up: bool = False):
    hits = groove.in_bar(number, setting_up=setting_up)
    return [(hit.onset, hit.surface) for hit in hits]


def test_a_groove_of_two_bars_plays_them_by_turns_up_to_a_late_fill():
    bossa = groove_named("bossa nova", Meter(4, 4))
    block = Block(on_snare("(1) (2) 3 4"), bossa)
    first, second = hits_of(bossa, 0), hits_of(bossa, 1)
    assert first != second
    assert [played_in(block, number) for number in range(3)] == [first, second, first]
    assert played_in(block, 3) == [hit for hit in second if hit[0] < 2]


@pytest.mark.parametrize("bars", BLOCK_BARS)
def test_the_last_bar_of_groove_leads_into_the_fill_where_that_is_asked_for(bars):
    rock = groove_named("rock", Meter(4, 4))
    block = Block(on_snare("1 2 3 4"), rock, bars, sets_up=True)
    *others, last = [played_in(block, number) for number in range(bars - 1)]
    assert others == [hits_of(rock, 0)] * (bars - 2)
    assert last == hits_of(rock, 0, setting_up=True) != hits_of(rock, 0)


def test_the_bar_that_leads_in_is_the_last_whole_one_before_a_late_fill():
    rock = groove_named("rock", Meter(4, 4))
    block = Block(on_snare("(1) (2) 3 4"), rock, sets_up=True)
    assert played_in(block, 2) == hits_of(rock, 0, setting_up=True)
    assert played_in(block, 3) == [hit for hit in hits_of(rock, 0) if hit[0] < 2]


def test_of_two_bars_that_begin_in_the_second_the_first_leads_in():
    rock = groove_named("rock", Meter(4, 4))
    late = Bar.from_counts("1 2 3 4 | 1 & 2 & 3 & 4 &").last_beats(2)
    block = Block(snare_fill(late), rock, sets_up=True)
    assert played_in(block, 2) == hits_of(rock, 0, setting_up=True)
    assert played_in(block, 1) == hits_of(rock, 0)


def test_in_two_bars_the_one_that_leads_in_takes_the_place_of_either():
    samba = groove_named("samba", Meter(2, 4))
    fill = snare_fill(Bar.from_counts("1 & 2 &", "2/4"))
    longer = snare_fill(Bar.from_counts("1 & 2 & | 1 & 2 &", "2/4"))
    assert played_in(Block(fill, samba, sets_up=True), 2) == hits_of(samba, 0, setting_up=True)
    assert played_in(Block(longer, samba, sets_up=True), 1) == hits_of(samba, 1, setting_up=True)


def test_a_groove_without_such_a_bar_goes_on():
    train = groove_named("ska", Meter(4, 4))
    fill = on_snare("1 2 3 4")
    assert Block(fill, train, sets_up=True).sounds == Block(fill, train).sounds


def test_a_grace_note_over_the_bar_line_has_the_room_that_the_last_bar_leaves():
    """Rock leads in with a snare on the last eighth, half a quarter before the bar line."""
    block = Block(on_snare("1 2 3 4", "drag"), groove_named("rock", Meter(4, 4)), sets_up=True)
    assert [sound.onset for sound in block.fill_bar[:2]] == [-2 * GRACE, -GRACE]
