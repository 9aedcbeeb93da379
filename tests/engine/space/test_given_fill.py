"""A fill that is given as it is: rules that leave it alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.engine.rules.rule_list import RuleSet
from rhythms.engine.space.given_fill import rules_of
from tests.strategies import fills, strokes, strokes_together
from tests.thoroughness import examples

WHOLE_KIT = Kit(KIT_SURFACES)
LOUDER = ("ghost", "normal", "accent").index


def left(fill: Fill) -> Fill | None:
    """The one fill that its rules leave, None without rules."""
    rules = rules_of(fill)
    if rules is None:
        return None
    space = FillSpace(fill.bar, RuleSet.from_json(rules.to_json()), WHOLE_KIT)
    assert space.size == 1
    return space.fill(0)


def as_laid(fill: Fill) -> list[tuple]:
    """What rules can say of it: surfaces, ornaments, and the loudness of each stroke."""
    return [
        (
            stroke.surfaces,
            stroke.ornament,
            "accent"
            if note.accent
            else max((hit.dynamic for hit in stroke.hand_hits or stroke.hits), key=LOUDER),
        )
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    ]


@examples(200)
@given(fills(together=True))
def test_its_rules_leave_a_fill_alone(fill):
    if (only := left(fill)) is not None:
        assert as_laid(only) == as_laid(fill)


@examples(200)
@given(fills())
def test_strokes_of_one_limb_come_back_as_they_were_but_for_their_hands(fill):
    plain = Fill(Bar.from_events(fill.bar.meter, unaccented(fill.bar)), fill.strokes)
    if (only := left(plain)) is not None:
        assert only == plain.without_hands()


def unaccented(bar: Bar):
    return [event._replace(accent=False) for event in bar.events()]


@given(st.lists(strokes(), min_size=8, max_size=8) | st.lists(strokes_together(), min_size=8))
def test_on_eighths_everything_that_rules_can_ask_for_is_laid(played):
    fill = Fill(Bar.from_counts("1 & 2 & 3 & 4 &"), tuple(played[:8]))
    no_hand = any(
        stroke.beside and (stroke.by_foot or stroke.surface is Surface.STICKS)
        for stroke in fill.strokes
    )
    closed = any(
        Surface.HI_HAT_FOOT in stroke.surfaces
        and not {Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT}.isdisjoint(stroke.surfaces)
        for stroke in fill.strokes
    )
    assert (rules_of(fill) is None) == (no_hand or closed)


def test_notes_that_are_laid_alike_share_a_rule():
    snare, crash = Stroke(Surface.SNARE), [Hit(Surface.CRASH), Hit(Surface.BASS_DRUM, "RF")]
    flam = Stroke(Surface.FLOOR_TOM, "L", "accent", "flam")
    fill = Fill(Bar.from_counts("1 & 2 3 4"), (snare, flam, snare, flam, stroke_of(crash)))
    assert rules_of(fill).sentences() == (
        "Notes on 1 and 2 go on the snare.",
        "Notes on 1 & and 3 go on the floor tom.",
        "Notes on 1 & and 3 are accented.",
        "Notes on 1 & and 3 are flams.",
        "Notes on 4 go on the crash.",
        "On notes on 4, the bass drum goes under every stroke on the crash.",
    )


@pytest.mark.parametrize(
    "counts", ["1 trip let & trip let 2 3 4", "1 2 3 4 | 1 2 3 4", "4 | 1 2 3 4"]
)
def test_where_two_notes_are_counted_alike_no_rule_tells_them_apart(counts):
    assert rules_of(snare_fill(Bar.from_counts(counts))) is None


def test_a_kit_without_one_of_its_drums_leaves_no_fill():
    fill = Fill(Bar.from_counts("1 - - -"), (Stroke(Surface.CRASH),))
    assert FillSpace(fill.bar, rules_of(fill), Kit.of(["snare", "bass drum"])).size == 0
