"""The grooves that come with the program: each can be played, read and engraved."""

import json

import pytest

from rhythms.engine import Kit, Meter, Surface
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.kits.surfaces import FEET, KIT_SURFACES
from rhythms.engine.playback.groove import PLAIN_PULSE, GrooveError
from rhythms.engine.playback.groove_clashes import why_not_together
from rhythms.engine.playback.groove_fill import groove_fill, groove_fills
from rhythms.engine.playback.groove_library import (
    groove_named,
    grooves_for,
    library,
    pattern_named,
    patterns,
    styles,
    usual_grooves,
)
from rhythms.engine.playback.groove_line import read_line, spell_line
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.forms import METERS

#: Names that assignments may hold since before the library grew, with their meters.
OF_BEFORE = {
    "rock": "4/4",
    "funk": "4/4",
    "shuffle": "4/4",
    "half-time": "4/4",
    "jazz ride": "4/4",
    "3/4": "3/4",
    "6/8": "6/8",
}
#: The styles that teachers ask for in the trade's words, each by a groove that has it.
ASKED_FOR = (
    "rock", "16th rock", "half-time", "shuffle", "slow 12/8", "waltz", "5/4 rock", "7/8 rock",
    "jazz ride", "bossa nova", "samba", "baião", "train", "disco", "one-drop", "funk",
)  # fmt: skip
SMALL_KITS = (
    ("snare",),
    ("snare", "hi-hat", "hi-hat foot"),
    ("snare", "floor tom"),
    ("snare", "floor tom", "hi-hat", "ride", "bass drum", "hi-hat foot"),
    ("crash", "bass drum"),
    ("cowbell", "high tom"),
)


def written(pattern):
    return written_of(pattern.groove)


def written_of(groove):
    return groove_fills(groove) if groove.hits else ()


def test_there_are_as_many_as_were_asked_for_and_each_style_is_among_them():
    assert len(patterns()) >= 24
    assert {pattern_named(name).name for name in ASKED_FOR} == set(ASKED_FOR)


def test_no_two_have_one_name():
    names = [pattern.name for pattern in patterns()] + [PLAIN_PULSE]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("meter", METERS)
def test_every_meter_has_a_groove_beside_the_plain_pulse(meter):
    assert grooves_for(Meter.parse(meter))[0].name != PLAIN_PULSE


@pytest.mark.parametrize(("name", "meter"), OF_BEFORE.items())
def test_a_name_of_before_still_names_a_groove(name, meter):
    assert groove_named(name, Meter.parse(meter)) is not None
    assert pattern_named(name).meter == Meter.parse(meter)


def test_the_first_of_a_meter_that_had_one_is_the_same():
    for name, meter in (("rock", Meter(4, 4)), ("3/4", Meter(3, 4)), ("6/8", Meter(6, 8))):
        assert grooves_for(meter)[0] == groove_named(name, meter)


def test_an_unknown_name_is_said():
    with pytest.raises(GrooveError, match="no groove “polka 9” in the library"):
        pattern_named("polka 9")


def test_what_is_offered_where_nobody_chose_is_short_and_ends_with_the_pulse():
    offered = usual_grooves(Meter(4, 4))
    assert [groove.name for groove in offered] == [
        "rock", "funk", "shuffle", "half-time", "jazz ride", PLAIN_PULSE,
    ]  # fmt: skip


def those_that(fail) -> list[str]:
    """The names of those for which `fail` is true."""
    return [pattern.name for pattern in patterns() if fail(pattern)]


def test_each_is_within_its_bars_and_begins_on_their_first_beat():
    def is_outside(pattern):
        groove = pattern.groove
        bars = [groove.in_bar(number) for number in range(groove.meter.bars)]
        begun = all(0 <= bar[0].onset < groove.meter.beats[0].length for bar in bars)
        return not begun or any(bar[-1].onset >= groove.meter.bar_length for bar in bars)

    assert those_that(is_outside) == []


def test_each_says_its_style_and_how_fast_it_goes():
    def is_unsaid(pattern):
        return not (pattern.style in styles() and 30 <= pattern.slowest < pattern.fastest <= 240)

    assert those_that(is_unsaid) == []


def test_two_hands_and_two_feet_can_strike_each():
    def is_too_much(pattern):
        strokes = [stroke for fill in written(pattern) for stroke in fill.strokes]
        return any(why_not_together(stroke.surfaces) for stroke in strokes)

    assert those_that(is_too_much) == []


def test_every_move_fits_at_the_fastest_tempo_that_is_given():
    """On a kit that has everything, by the engine's times for hands and feet."""
    kit = Kit.of(KIT_SURFACES)
    too_fast = {
        pattern.name: [top_tempo(fill, kit) for fill in written(pattern)]
        for pattern in patterns()
        if any(top_tempo(fill, kit) < pattern.fastest for fill in written(pattern))
    }
    assert too_fast == {}


def is_there(surface, kit) -> bool:
    """Whether the kit has it, or the drum or cymbal that is struck so."""
    on = {Surface.CROSS_STICK: Surface.SNARE, Surface.RIDE_BELL: Surface.RIDE}.get(surface)
    return kit.has(surface) or on in kit.surfaces


@pytest.mark.parametrize("names", SMALL_KITS, ids=", ".join)
def test_on_a_small_kit_each_is_played_on_what_is_there_by_two_hands(names):
    kit = Kit.of(names)

    def cannot_be(pattern):
        on_kit = pattern.groove.on(kit.surfaces)
        fills = written_of(on_kit)
        return any(
            not all(is_there(surface, kit) for surface in stroke.surfaces)
            or sum(surface not in FEET for surface in stroke.surfaces) > len(HANDS)
            for fill in fills
            for stroke in fill.strokes
        )

    assert those_that(cannot_be) == []


def test_lines_are_as_they_are_spelled():
    def is_spelled_otherwise(pattern):
        lines = [*pattern.lines.values(), *pattern.setup.values()]
        own = {text: pattern.meter.over(text.count("|") + 1) for text in lines}
        return any(spell_line(read_line(text, own[text]), own[text]) != text for text in lines)

    assert those_that(is_spelled_otherwise) == []


def test_each_goes_through_json_and_back():
    def is_lost(pattern):
        again = GroovePattern.from_json(json.loads(json.dumps(pattern.to_json())))
        return (again, again.groove) != (pattern, pattern.groove)

    assert those_that(is_lost) == []


def test_the_strokes_of_each_are_its_hits():
    def differs(pattern):
        fill = groove_fill(pattern.groove)
        struck = [
            (note.onset, hit.surface, hit.dynamic)
            for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
            for hit in stroke.hits
        ]
        return sorted(struck) != sorted(tuple(hit) for hit in pattern.groove.hits)

    assert those_that(differs) == []


def test_several_can_set_up_a_fill_and_differ_then():
    setting_up = [groove for groove in library() if groove.setups]
    assert len(setting_up) >= 12
    for groove in setting_up:
        assert len(groove.setups) == groove.meter.bars
        assert groove.in_bar(0, setting_up=True) != groove.in_bar(0)


def test_what_is_played_in_five_quarters_is_played_however_they_are_grouped():
    grouped, plain = Meter.parse("5/4 (3+2)"), Meter(5, 4)
    *there, pulse = grooves_for(grouped)
    assert [groove.name for groove in there] == [groove.name for groove in grooves_for(plain)[:-1]]
    assert {groove.meter.one_bar for groove in there} == {grouped}
    bass = [hit.onset for hit in pulse.hits if hit.surface == "bass drum"]
    snare = [hit.onset for hit in pulse.hits if hit.surface == "snare"]
    assert (bass, snare) == ([0, 3], [2, 4])


def test_eighths_grouped_otherwise_are_another_meter():
    names = [groove.name for groove in grooves_for(Meter.parse("7/8 (3+2+2)"))]
    assert names == ["7/8 with the three first", PLAIN_PULSE]
