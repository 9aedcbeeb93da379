"""The block as the page's player reads it."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.bars.writing import Event
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import PLAIN_PULSE, groove_of_bar, plain_pulse
from rhythms.engine.playback.groove_fill import groove_fill
from rhythms.engine.playback.groove_library import groove_named, grooves_for, usual_grooves
from rhythms.engine.playback.ostinato_library import ostinato_named
from rhythms.engine.playback.timeline import Block, fill_timeline
from rhythms.notation.player import block_json, counts_by_beat, fill_json
from tests.strategies import fills


def counts_of(counts: str, meter: str = "4/4") -> list[tuple[float, str, bool]]:
    fill = snare_fill(Bar.from_counts(counts, meter))
    counted = block_json(Block(fill, grooves_for(fill.bar.meter)[0]))["counts"]
    return [(count["onset"], count["label"], count["struck"]) for count in counted]


@given(fills())
def test_the_fill_is_the_timeline_to_a_billionth_of_a_quarter(fill):
    block = Block(fill, grooves_for(fill.bar.meter)[0])
    played = json.loads(json.dumps(block_json(block)))["fill"]
    assert [
        (sound["surface"], sound["dynamic"], sound["note"], sound["grace"]) for sound in played
    ] == [tuple(sound[1:]) for sound in block.fill_bar]
    for sound, exact in zip(played, block.fill_bar, strict=True):
        assert abs(Fraction(sound["onset"]) - exact.onset) < Fraction(1, 10**9)


@given(fills())
def test_every_count_stands_in_one_beat_in_order(fill):
    block = block_json(Block(fill, grooves_for(fill.bar.meter.one_bar)[0]))
    beats = counts_by_beat(block)
    assert [count for beat in beats for count in beat] == block["counts"]
    assert len(beats) == len(block["beats"]) * block["fillBars"]


def test_without_a_choice_the_usual_grooves_of_the_meter_can_be_changed_to():
    block = Block(snare_fill(Bar.from_counts("1 2 3 4")), groove_named("funk", Meter(4, 4)))
    data = block_json(block)
    assert data["groove"] == "funk"
    assert set(data["grooves"]) == {groove.name for groove in usual_grooves(Meter(4, 4))}
    assert len(data["grooves"]["funk"]) == len(block.groove.hits)


def test_those_that_somebody_chose_can_be_changed_to_and_no_others():
    funk, train, bossa = (groove_named(n, Meter(4, 4)) for n in ("funk", "train", "bossa nova"))
    block = Block(snare_fill(Bar.from_counts("1 2 3 4")), funk)
    data = block_json(block, [bossa, train])
    assert list(data["grooves"]) == ["funk", "bossa nova", "train"]
    assert data["grooveBars"] == {"funk": 1, "bossa nova": 2, "train": 1}
    assert len(data["grooves"]["bossa nova"]) == len(bossa.hits)


@pytest.mark.parametrize("meter", [Meter(4, 4), Meter(3, 4), Meter(6, 8)], ids=str)
def test_what_a_groove_plays_says_which_stroke_of_its_engraving_it_is(meter):
    grooves = grooves_for(meter)
    bar = Bar.from_events(meter, [Event(Fraction(0))])
    played = block_json(Block(snare_fill(bar), grooves[0]), grooves)["grooves"]
    for groove in grooves:
        strokes = groove_fill(groove)
        onsets = [float(note.onset) for note in strokes.bar.sounded]
        sounds = played[groove.name]
        assert [onsets[sound["note"]] for sound in sounds] == [sound["onset"] for sound in sounds]
        assert {sound["note"] for sound in sounds} == set(range(len(strokes.strokes)))


def test_feet_that_keep_going_are_no_stroke_of_the_engraved_groove():
    block = Block(snare_fill(Bar.from_counts("1 2 3 4")), plain_pulse(Meter(4, 4)))
    feet = ostinato_named("samba", block.meter)
    with_feet = replace(block, fill=replace(block.fill, ostinato=feet))
    plain, played = (block_json(one)["grooves"][PLAIN_PULSE] for one in (block, with_feet))
    drawn = {sound["onset"] for sound in plain}
    assert any(sound["onset"] not in drawn for sound in played)
    for sound in played:
        assert (sound["note"] is not None) == (sound["onset"] in drawn)


def test_of_two_grooves_of_one_name_the_one_that_was_assigned_is_played():
    rock, own = groove_named("rock", Meter(4, 4)), plain_pulse(Meter(4, 4))
    data = block_json(
        Block(snare_fill(Bar.from_counts("1 2 3 4")), replace(own, name="rock")), [rock]
    )
    assert len(data["grooves"]["rock"]) == len(own.hits)


def test_the_bar_that_leads_into_the_fill_comes_where_it_is_asked_for():
    block = Block(snare_fill(Bar.from_counts("1 2 3 4")), groove_named("rock", Meter(4, 4)))
    assert block_json(block)["setups"] == {}
    setups = block_json(replace(block, sets_up=True))["setups"]
    assert [sound["onset"] for sound in setups["rock"] if sound["surface"] == "snare"] == [
        1,
        3,
        3.5,
    ]
    assert PLAIN_PULSE not in setups


def test_the_bars_that_lead_into_the_fills_of_a_phrase_come_one_after_the_other():
    of_two, of_one = (groove_named(n, Meter(2, 4)) for n in ("samba", "samba on the snare"))
    phrase = snare_fill(phrase_of(Bar.from_counts("1 & 2 &", "2/4"), 4, 1))
    block = Block(phrase, of_two, 8, sets_up=True)
    data = block_json(block, [of_one])
    assert data["setupBars"] == [0, 2]
    for groove in (of_two, of_one):
        played = replace(block, groove=groove)
        assert [sound["onset"] for sound in data["setups"][groove.name]] == [
            *(float(sound.onset) for sound in played.groove_bar(4)),
            *(float(sound.onset) + 2 for sound in played.groove_bar(6)),
        ]


def test_before_a_fill_alone_no_bar_leads_into_it():
    rock = groove_named("rock", Meter(4, 4))
    block = Block(snare_fill(Bar.from_counts("1 2 3 4")), rock, bars=1, sets_up=True)
    assert block_json(block)["setups"] == {}


def test_a_bar_of_the_teachers_is_one_of_the_grooves():
    bar = Bar.from_counts("1 2 & 3 4")
    data = block_json(Block(snare_fill(bar), groove_of_bar(bar, "March")))
    assert data["groove"] == "March"
    assert next(iter(data["grooves"])) == "March"


def test_a_fill_of_two_bars_has_the_counts_of_both():
    fill = snare_fill(Bar.from_counts("1 2 3 4 | 1 & 2 3 4"))
    data = block_json(Block(fill, groove_named("rock", Meter(4, 4))))
    assert (data["bar"], data["bars"], data["fillBars"], len(data["beats"])) == (4.0, 4, 2, 4)
    assert [count["onset"] for count in data["counts"]] == [0, 1, 2, 3, 4, 4.5, 5, 6, 7]
    assert fill_json(fill)["bars"] == 2


def test_every_count_is_there_of_a_beat_that_needs_it():
    assert [label for _, label, _ in counts_of("1 a (2) 3 trip (let) 4")] == [
        *("1", "e", "&", "a"),
        "2",
        *("3", "trip", "let"),
        "4",
    ]
    assert [label for _, label, struck in counts_of("1 a (2) 3 trip (let) 4") if not struck] == [
        *("e", "&", "2", "let")
    ]


def test_the_groove_goes_on_until_the_fill_starts():
    block = Block(snare_fill(Bar.from_counts("(1) (2) & 3 4")), groove_named("rock", Meter(4, 4)))
    assert block_json(block)["fillStart"] == 1.5


def test_strokes_rests_and_beats_are_counted():
    assert counts_of("1 & (2) 3 4") == [
        (0, "1", True),
        (0.5, "&", True),
        (1, "2", False),
        (2, "3", True),
        (3, "4", True),
    ]


def test_a_beat_inside_a_held_note_is_counted_too():
    assert counts_of("1 -2 3 -4") == [
        (0, "1", True),
        (1, "2", False),
        (2, "3", True),
        (3, "4", False),
    ]


def test_six_eight_clicks_on_its_two_beats():
    fill = snare_fill(Bar.from_counts("1 2 3 4 5 6", "6/8"))
    beats = block_json(Block(fill, grooves_for(fill.bar.meter)[0]))["beats"]
    assert beats == [{"onset": 0.0, "number": 1}, {"onset": 1.5, "number": 4}]


@given(fills())
def test_a_fill_to_be_heard_alone_brings_nothing_else(fill):
    data = fill_json(fill)
    assert [sound["note"] for sound in data["fill"]] == [s.note for s in fill_timeline(fill)]
    assert (data["bars"], data["landing"], list(data["grooves"].values())) == (1, [], [[]])


def test_a_pickup_alone_is_heard_at_once():
    alone = fill_json(snare_fill(Bar.from_counts("(4) & | 1 2 3 4")))
    assert [sound["onset"] for sound in alone["fill"]] == [0.5, 1.0, 2.0, 3.0, 4.0]
    assert [count["label"] for count in alone["counts"]] == ["4", "&", "1", "2", "3", "4"]
    assert [count["onset"] for count in alone["counts"]][:3] == [0.0, 0.5, 1.0]
    assert alone["fillStart"] == 0.5
