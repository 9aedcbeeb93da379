"""Feet that keep going as a rule: every fill brings them, and none opens what they shut."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet, Stroke
from rhythms.engine.errors import RuleError
from rhythms.engine.fills.hands import with_hands
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.ostinato_library import NAMES, meters_of, ostinato_named
from rhythms.engine.prior.human_prior import human_prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from rhythms.engine.space.conflict import conflict_in_words
from rhythms.engine.space.explain import explain
from tests.strategies import METERS

BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
ON_THE_TOMS = {"rule": "placement", "surfaces": ["toms"]}


def going(pattern: str = "samba", **typed: str) -> dict:
    return {"rule": "feet keep going", "pattern": pattern, **typed}


def space(*rules: dict, bar: Bar = BAR, kit: Kit | None = None) -> FillSpace:
    return FillSpace(bar, RuleSet.from_json([*rules]), kit or Kit.standard())


@pytest.mark.parametrize("pattern", NAMES)
def test_it_is_not_counted(pattern):
    alone, with_feet = space(ON_THE_TOMS), space(ON_THE_TOMS, going(pattern))
    assert with_feet.size == alone.size
    assert with_feet.fill(1_000) == alone.fill(1_000)
    assert with_feet.rank(alone.fill(1_000)) == 1_000


def test_every_fill_of_the_space_brings_it_however_it_is_drawn():
    here = space(ON_THE_TOMS, going())
    numbers = [0] * len(here.setting.bar.sounded)
    [drawn] = WeightedSpace(here, human_prior()).fills(np.array([numbers]))
    fills = [here.fill(5), *here.sample(3, "seed"), drawn]
    for fill in fills:
        assert fill.ostinato == ostinato_named("samba", Meter(4, 4))
        assert with_hands(fill, here.kit).ostinato == fill.ostinato


def test_without_the_rule_no_fill_has_one():
    assert space(ON_THE_TOMS).fill(0).ostinato is None


def test_it_goes_on_under_feet_of_the_fill():
    bar = Bar.from_counts("1 (&) 2 3 4")
    rests = {"rule": "feet", "on": "rests", "foot": "bass drum"}
    fill = space(ON_THE_TOMS, rests, going("four on the floor"), bar=bar).fill(0)
    assert fill.strokes[1].surface == Surface.BASS_DRUM
    assert [hit.onset for hit in fill.going_on] == [0, 1, 2, 3]


def test_two_such_rules_are_played_together():
    fill = space(going("four on the floor"), going("hi-hat foot on 2 and 4")).fill(0)
    assert fill.ostinato.name == "four on the floor and hi-hat foot on 2 and 4"
    assert len(fill.ostinato.hits) == 6


#: As the trade counts them (common practice), in quarters from the bar line.
BASS, HAT = Surface.BASS_DRUM, Surface.HI_HAT_FOOT
COUNTED = [
    ("hi-hat foot on 2 and 4", "4/4", {HAT: "1 3"}),
    ("hi-hat foot on 2 and 4", "12/8", {HAT: "3/2 9/2"}),
    ("four on the floor", "4/4", {BASS: "0 1 2 3"}),
    ("four on the floor", "6/8", {BASS: "0 3/2"}),
    ("samba", "2/4", {BASS: "0 3/4 1 7/4", HAT: "1/2 3/2"}),
    ("baião", "2/4", {BASS: "0 3/4 3/2", HAT: "1/2 3/2"}),
]


@pytest.mark.parametrize(("pattern", "meter", "feet"), COUNTED)
def test_each_pattern_is_where_the_trade_counts_it(pattern, meter, feet):
    hits = ostinato_named(pattern, Meter.parse(meter)).hits
    for foot, onsets in feet.items():
        found = [hit.onset for hit in hits if hit.surface == foot]
        assert found == [Fraction(onset) for onset in onsets.split()]
    assert {hit.surface for hit in hits} == feet.keys()


@pytest.mark.parametrize("pattern", ["samba", "baião"])
def test_a_bar_of_four_has_the_two_beats_twice(pattern):
    two, four = (ostinato_named(pattern, Meter(count, 4)) for count in (2, 4))
    assert four.hits == two.over(2)


@pytest.mark.parametrize("meter", METERS)
def test_where_a_pattern_is_not_played_the_rule_says_so(meter):
    bar = Bar.from_events(Meter.parse(meter), BAR.events()[:1])
    for pattern in NAMES:
        here = space(going(pattern), bar=bar)
        if meter in meters_of(pattern) or not meters_of(pattern):
            assert here.size > 0
        else:
            assert here.size == 0
            assert f"is for {meters_of(pattern)[0]}" in conflict_in_words(here)
            assert f"this bar is in {meter}" in conflict_in_words(here)


def test_a_kit_without_the_foot_is_told():
    here = space(going(), kit=Kit.of(["snare", "bass drum"]))
    assert conflict_in_words(here) == (
        "“The feet keep going: samba” cannot hold: this kit has no hi-hat foot."
    )


EIGHTHS = Bar.from_counts("1 & 2 & 3 & 4 &")
OPEN_OR_SNARE = {"rule": "placement", "surfaces": ["snare", "open hi-hat"]}


def test_where_the_hi_hat_foot_falls_no_stroke_opens_the_hi_hat():
    on_two_and_four = space(OPEN_OR_SNARE, going("hi-hat foot on 2 and 4"), bar=EIGHTHS)
    assert space(OPEN_OR_SNARE, bar=EIGHTHS).size == 2**8
    assert on_two_and_four.size == 2**6
    for fill in on_two_and_four.sample(20, "seed"):
        assert [fill.strokes[note].surface for note in (2, 6)] == [Surface.SNARE] * 2


def test_a_bass_drum_that_keeps_going_leaves_the_hi_hat_open():
    assert space(OPEN_OR_SNARE, going("four on the floor"), bar=EIGHTHS).size == 2**8


def test_a_diddle_is_not_open_where_the_foot_falls_on_its_second_stroke():
    bar = Bar.from_counts("1 2 3 4")
    diddled = {"rule": "ornament", "ornament": "diddle"}
    assert space(OPEN_OR_SNARE, going(), bar=bar).size == 2**4
    assert space(OPEN_OR_SNARE, diddled, going(), bar=bar).size == 1


def test_an_open_hi_hat_under_the_foot_is_told_with_the_reason():
    here = space(going("hi-hat foot on 2 and 4"), bar=EIGHTHS)
    strokes = [Stroke(Surface.OPEN_HI_HAT), *[Stroke(Surface.SNARE)] * 7]
    assert all(one.kept for one in explain(here, Fill(EIGHTHS, tuple(strokes))))
    shut = Fill(EIGHTHS, (*strokes[1:3], *strokes[:-2]))
    assert shut not in here
    [broken] = [one for one in explain(here, shut) if one.kept is False]
    assert broken.words == (
        "2, open hi-hat: breaks “The feet keep going: hi-hat foot on 2 and 4”: "
        "the foot closes the hi-hat there."
    )


def test_a_rule_that_wants_the_hi_hat_open_under_the_foot_is_told_where_it_is_shut():
    open_off_the_beat = {
        "rule": "placement",
        "position": "off the beat",
        "surfaces": ["open hi-hat"],
    }
    here = space(open_off_the_beat, ON_THE_TOMS | {"position": "on the beat"}, going(), bar=EIGHTHS)
    assert here.size == 0
    assert conflict_in_words(here) == (
        "“Notes off the beat go on the open hi-hat” and “The feet keep going: samba” cannot hold "
        "together on this bar and kit. The foot closes the hi-hat on 1 &, 2 &, 3 & and 4 &."
    )


def test_typed_feet_are_for_their_meter():
    typed = going("typed", hi_hat_foot="2 3", meter="3/4")
    assert space(typed, bar=Bar.from_counts("1 2 3", "3/4")).fill(0).ostinato.hits[0].onset == 1
    assert "what is typed is for 3/4, and this bar is in 4/4" in conflict_in_words(space(typed))


def test_accents_and_soft_strokes_are_typed():
    fill = space(going("typed", bass_drum="1> 3<", meter="4/4")).fill(0)
    assert [hit.dynamic for hit in fill.ostinato.hits] == ["accent", "ghost"]


@pytest.mark.parametrize(
    ("rule", "field", "words"),
    [
        (going("polka"), "pattern", "cannot be “polka”"),
        (going("typed"), "hi_hat_foot", "Type when a foot plays"),
        (going("typed", bass_drum=" "), "hi_hat_foot", "Type when a foot plays"),
        (going("typed", bass_drum="1 3 x"), "bass_drum", "column 5, “x”"),
        (going("typed", hi_hat_foot="2 5"), "hi_hat_foot", "column 3, “5”"),
        (going("typed", hi_hat_foot="2 | 2"), "hi_hat_foot", "column 3, “|”: this pattern has one"),
        (going("typed", hi_hat_foot="2 4", meter="4/5"), "meter", "4/5 is not a meter"),
        (going("typed", hi_hat_foot=4), "hi_hat_foot", "at most 200 signs"),
        (going("typed", hi_hat_foot="2 " * 200), "hi_hat_foot", "at most 200 signs"),
        (going("samba", bass_drum="1 3"), "bass_drum", "choose “as typed below”, or clear them"),
        (going("samba", foot="left"), "foot", "not part of"),
    ],
)
def test_what_cannot_be_read_is_said_beside_its_field_with_the_column(rule, field, words):
    with pytest.raises(RuleError) as caught:
        RuleSet.from_json([rule])
    assert caught.value.field == field
    assert words in caught.value.message
