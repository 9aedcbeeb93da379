"""Traits of a phrase, worked out by hand, and the ratio that is learned from them."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Surface
from rhythms.engine.prior.phrase_ratio import learn_ratio
from rhythms.engine.prior.phrase_traits import TRAITS, codes_of, traits
from tests.strategies import HAND_SURFACES

LETTERS = {
    "S": Surface.SNARE,
    "H": Surface.HIGH_TOM,
    "M": Surface.MID_TOM,
    "F": Surface.FLOOR_TOM,
    "C": Surface.CRASH,
}
EIGHTHS = [Fraction(place, 2) for place in range(8)]


def trait(name: str, letters: str, onsets=EIGHTHS) -> float:
    codes = codes_of([[LETTERS[letter] for letter in letters]])
    return float(traits(onsets[: len(letters)], codes)[0, list(TRAITS).index(name)])


@pytest.mark.parametrize(
    ("name", "letters", "expected"),
    [
        # Eighths: a beat later is the next but one; S-S, H-F, S-S, F-H, S-S, H-F of six pairs.
        ("struck again a beat later", "SHSFSHSF", 3 / 6),
        ("struck again two beats later", "SHSFSHSF", 4 / 4),
        ("there and back", "SHSFFS", 1 / 3),
        ("the same from beat to beat", "SHSFHF", 1 / 2),
        ("down the drums", "SHMFS", 3 / 4),
        ("down the toms", "SHMHF", 2 / 3),
        ("moves said again", "SHSHS", 2 / 4),
        ("figures of three said again", "SHFSHF", 1 / 4),
        ("longest run", "SSSHHF", 3 / 6),
        ("runs of one", "SSHFF", 1 / 3),
        ("moves", "SSHF", 2 / 3),
        ("moves onto the beat", "SSHHHF", 1 / 2),
        ("moves off the beat", "SSHHHF", 1 / 3),
        ("beats on one surface", "SSHFFF", 2 / 3),
        ("beats said again", "SHSHSF", 1 / 2),
        ("ends where it began", "SHHS", 1.0),
        ("on toms", "SHMF", 3 / 4),
        ("on cymbals and bells", "SCCS", 2 / 4),
        ("surfaces", "SHMFS", 3.0),
        ("ends on the snare", "HFS", 1.0),
        ("ends on the floor tom", "HFS", 0.0),
    ],
)
def test_a_trait_is_what_its_name_says(name, letters, expected):
    assert trait(name, letters) == pytest.approx(expected)


def test_every_trait_has_its_worked_example():
    (marks,) = test_a_trait_is_what_its_name_says.pytestmark
    assert {case[0] for case in marks.args[1]} == set(TRAITS)


def test_what_a_rhythm_does_not_tell_is_left_open():
    assert np.isnan(
        trait("struck again a beat later", "SHF", [Fraction(0), Fraction(3, 4), Fraction(3, 2)])
    )
    assert np.isnan(trait("down the toms", "SSS"))


def test_lines_of_less_than_three_strokes_tell_nothing():
    assert np.isnan(traits(EIGHTHS[:2], codes_of([[Surface.SNARE] * 2]))).all()


@given(st.lists(st.lists(st.sampled_from(HAND_SURFACES), min_size=6, max_size=6), min_size=1))
def test_lines_are_looked_at_one_by_one(lines):
    together = traits(EIGHTHS[:6], codes_of(lines))
    alone = np.vstack([traits(EIGHTHS[:6], codes_of([line])) for line in lines])
    np.testing.assert_array_equal(together, alone)


def test_the_ratio_is_high_where_one_kind_of_line_comes_more_often():
    random = np.random.default_rng(1)
    human = random.normal(1.0, 1.0, (2000, len(TRAITS)))
    drawn = random.normal(0.0, 1.0, (2000, len(TRAITS)))
    ratio = learn_ratio(human[:, :1].repeat(len(TRAITS), axis=1), drawn[:, :1].repeat(21, axis=1))
    points = np.array([[x] * len(TRAITS) for x in (-0.5, 0.5, 1.5)])
    # Two normal densities of spread 1, at 1 and at 0: the logarithm of their ratio is x - 1/2.
    assert ratio.log(points) == pytest.approx([-1.0, 0.0, 1.0], abs=0.25)


def test_kinds_that_do_not_differ_have_a_ratio_of_one():
    same = np.random.default_rng(1).normal(size=(500, len(TRAITS)))
    assert learn_ratio(same, same).log(same) == pytest.approx(np.zeros(500), abs=1e-6)
