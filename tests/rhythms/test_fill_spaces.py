"""Kits and fill spaces of what a studio keeps."""

import pytest

from rhythms.engine import Kit, Surface
from rhythms.fill_spaces import engine_kit, space_for
from studio.models import Student

pytestmark = pytest.mark.django_db


@pytest.fixture
def pad(studio):
    return studio.kits.create(name="Pad", surfaces=["ride", "snare"])


@pytest.fixture
def left_hander(studio, pad):
    return Student(studio=studio, kit=pad, handedness=Student.Handedness.LEFT)


def test_a_kit_has_its_surfaces_in_the_order_used_everywhere(pad):
    assert engine_kit(pad) == Kit((Surface.SNARE, Surface.RIDE))


def test_a_kit_can_be_played_left_handed(pad):
    assert engine_kit(pad, left_handed=True).left_handed


def test_a_left_handed_student_plays_a_mirrored_kit(left_hander):
    assert engine_kit(left_hander) == Kit((Surface.SNARE, Surface.RIDE), left_handed=True)


def test_a_student_can_be_asked_to_play_the_other_way(left_hander):
    assert not engine_kit(left_hander, left_handed=False).left_handed


def test_the_standard_kit_of_a_studio_is_the_engines(studio):
    assert engine_kit(studio.kits.first()) == Kit.standard()


def test_a_space_is_that_of_the_students_kit(bar, rule_set, left_hander):
    assert space_for(bar, rule_set, left_hander).size == 2**8


def test_a_space_takes_what_is_kept_or_what_the_engine_knows(bar, rule_set, pad):
    kept = space_for(bar, rule_set, pad)
    known = space_for(bar.bar, rule_set.rule_set, engine_kit(pad))
    assert kept.fill(77) == known.fill(77)


def leading_hand(studio, bar, *player) -> str | None:
    rule_set = studio.rule_sets.get(name="Paradiddle on the 16ths, all on the snare")
    return space_for(bar, rule_set, *player).fill(0).strokes[0].limb


def test_a_right_hander_reads_the_rules_as_written(studio, bar, pad):
    assert leading_hand(studio, bar, pad) == "R"


def test_a_left_hander_reads_the_rules_mirrored(studio, bar, left_hander):
    assert leading_hand(studio, bar, left_hander) == "L"


def test_the_hands_asked_for_decide(studio, bar, left_hander):
    assert leading_hand(studio, bar, left_hander, False) == "R"
    assert leading_hand(studio, bar, Kit.standard(), True) == "L"
