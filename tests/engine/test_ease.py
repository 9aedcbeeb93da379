"""How easy a fill is for one student: against what they hold, at which tempo."""

from dataclasses import replace

import pytest

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet, Stroke, Surface
from rhythms.engine.bars.feel import Feel
from rhythms.engine.picking import Held, appraise, pick
from rhythms.engine.picking.ease import NEW_FEET, NEW_HANDS, NEW_MOVES
from rhythms.engine.playback.ostinato_library import ostinato_named

KIT = Kit.standard()
SNARE, HIGH, FLOOR = Surface.SNARE, Surface.HIGH_TOM, Surface.FLOOR_TOM


def on(*surfaces: Surface, hands: str = "") -> Fill:
    bar = Bar.from_counts("1 & 2 & 3 & 4 &")
    limbs = (hands or "RL") * 8
    rounds = (surfaces * 8)[:8]
    return Fill(bar, tuple(Stroke(s, limb) for s, limb in zip(rounds, limbs, strict=False)))


THERE_AND_BACK = on(SNARE, HIGH)


def strain(fill: Fill, tempo: float, *held: Held) -> float | None:
    return appraise(fill, KIT, (), tempo, held=held).strain


def test_of_a_student_who_holds_nothing_nothing_is_known():
    assert strain(THERE_AND_BACK, 80) is None
    assert strain(THERE_AND_BACK, 80, Held(on(SNARE), 1e-9)) is not None


def test_what_they_hold_hardest_asks_as_much_as_the_most_they_hold():
    assert strain(THERE_AND_BACK, 80, Held(on(SNARE), 60), Held(THERE_AND_BACK, 80)) == 1


@pytest.mark.parametrize(("tempo", "times"), [(40, 0.25), (120, 2.25)])
def test_it_grows_with_the_square_of_the_tempo_as_effort_does(tempo, times):
    assert strain(THERE_AND_BACK, tempo, Held(THERE_AND_BACK, 80)) == pytest.approx(times)


def test_who_holds_a_fill_straight_is_asked_more_by_it_swung():
    """By hand: of its one move half a beat is left, or a third: (3/2)² = 2.25."""
    bar = Bar.from_counts("(1) & 2 (3) (4)")
    double = Fill(bar, (Stroke(SNARE, "R"), Stroke(FLOOR, "R")))
    held = (Held(double, 80),)
    swung = Feel(67)
    assert appraise(double, KIT, (), 80, held=held, feel=swung).strain == pytest.approx(2.25)
    held = (Held(double, 80, swung),)
    assert appraise(double, KIT, (), 80, held=held, feel=swung).strain == 1


def test_a_bar_of_fewer_beats_is_held_against_the_same_time():
    bar = Bar.from_counts("1 & 2 &", "2/4")
    half = Fill(bar, THERE_AND_BACK.strokes[:4])
    assert strain(half, 80, Held(THERE_AND_BACK, 80)) < 1.01
    assert strain(half, 80, Held(THERE_AND_BACK, 80)) > 0.6


def test_moves_and_hands_that_are_new_count_besides():
    held = Held(THERE_AND_BACK, 80)
    effort = appraise(on(SNARE, FLOOR), KIT, (), 80).effort.total
    known = appraise(THERE_AND_BACK, KIT, (), 80).effort.total
    assert strain(on(SNARE, FLOOR), 80, held) == pytest.approx(effort / known + NEW_MOVES)
    doubles = on(SNARE, hands="RRLL")
    effort = appraise(doubles, KIT, (), 80).effort.total
    assert strain(doubles, 80, held) == pytest.approx(effort / known + NEW_HANDS)


def test_feet_that_they_hold_under_no_fill_count_besides():
    over = {
        name: replace(THERE_AND_BACK, ostinato=ostinato_named(name, Meter(4, 4)))
        for name in ("samba", "baião")
    }
    alone, samba = Held(THERE_AND_BACK, 80), Held(over["samba"], 80)
    assert strain(over["samba"], 80, alone) == pytest.approx(1 + NEW_FEET)
    assert strain(over["samba"], 80, alone, samba) == pytest.approx(1)
    assert strain(over["baião"], 80, alone, samba) == pytest.approx(1 + NEW_FEET)
    assert strain(THERE_AND_BACK, 80, samba) == pytest.approx(1)


def test_picks_come_easiest_for_the_student_first():
    space = FillSpace(Bar.from_counts("1 & 2 & 3 & 4 &"), RuleSet.from_json([]), KIT)
    held = tuple(Held(fill, 70) for fill in space.sample(3, 5))
    picks = pick(space, 8, (), 80, 1, held=held)
    strains = [one.strain for one in picks]
    assert None not in strains
    assert strains == sorted(strains)
    assert {one.fill for one in picks} == {one.fill for one in pick(space, 8, (), 80, 1)}
