"""What a player does next: lines, groups of surfaces, and chances with nothing impossible."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from rhythms.engine import Bar, Fill, Kit, Stroke, Surface
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.engine.prior.played_line import FIRST, PLACES, TIMES, Line, place_in_beat, times_since
from rhythms.engine.prior.surface_groups import handed_out
from rhythms.engine.prior.surface_table import WHIM, SurfaceTable

SNARE, HIGH, MID, FLOOR = Surface.SNARE, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM
KIT = Kit.standard()
KITS = {
    "standard": KIT,
    "left-handed": Kit.standard(left_handed=True),
    "all there is": Kit(KIT_SURFACES),
    "snare alone": Kit((SNARE,)),
    "cymbals alone": Kit((Surface.RIDE, Surface.CRASH)),
    "practice pad and cowbell": Kit((SNARE, Surface.COWBELL)),
    "one tom": Kit((SNARE, FLOOR, Surface.HI_HAT)),
}
EIGHTHS = tuple(Fraction(place, 2) for place in range(8))


def line(*surfaces: Surface) -> Line:
    return Line(EIGHTHS[: len(surfaces)], surfaces)


@pytest.mark.parametrize(
    ("onset", "place"),
    [
        (Fraction(2), 0),
        (Fraction(5, 2), 1),
        (Fraction(9, 4), 2),
        (Fraction(11, 4), 2),
        (Fraction(7, 3), 3),
        (Fraction(17, 8), 4),
    ],
)
def test_a_stroke_has_its_place_in_the_beat(onset, place):
    assert place_in_beat(onset) == place


def test_times_since_go_from_32nds_to_longer_than_an_eighth():
    onsets = [
        Fraction(0),
        Fraction(1, 8),
        Fraction(3, 8),
        Fraction(17, 24),
        Fraction(29, 24),
        Fraction(53, 24),
    ]
    assert times_since(onsets) == [FIRST, 0, 1, 2, 3, 4]


def test_a_line_holds_the_hands_and_not_the_feet():
    bar = Bar.from_counts("1 2 3", "3/4")
    strokes = (Stroke(SNARE), Stroke(Surface.BASS_DRUM, "RF"), Stroke(FLOOR))
    assert Line.of(Fill(bar, strokes)) == Line((Fraction(0), Fraction(2)), (SNARE, FLOOR))


def test_a_line_goes_by_the_louder_hand_and_by_drums_however_they_are_struck():
    """As human fills are read for counting: feet under the hands are left out too."""
    bar = Bar.from_counts("1 2 3 4")
    strokes = (
        stroke_of([Hit(SNARE), Hit(FLOOR, dynamic="accent"), Hit(Surface.BASS_DRUM, "RF")]),
        stroke_of([Hit(SNARE), Hit(FLOOR, dynamic="ghost")]),
        stroke_of([Hit(SNARE), Hit(FLOOR)]),
        Stroke(Surface.OPEN_HI_HAT),
    )
    line = Line.of(Fill(bar, strokes))
    assert line.surfaces == (FLOOR, SNARE, SNARE, Surface.HI_HAT)


@pytest.mark.parametrize("name", KITS)
@pytest.mark.parametrize("one_rack", [False, True])
def test_each_group_of_strokes_is_handed_out_whole(name, one_rack):
    shares = handed_out(KITS[name], one_rack=one_rack)
    assert np.allclose(shares.sum(axis=-1), 1)
    assert (shares >= 0).all()


@pytest.mark.parametrize("name", KITS)
@pytest.mark.parametrize("depth", [0, 1, 2])
def test_chances_add_up_to_one_and_nothing_is_impossible(name, depth):
    table = SurfaceTable.of([line(SNARE, SNARE, HIGH, FLOOR)])
    for time in range(TIMES):
        for place in range(PLACES):
            chances = table.chances(KITS[name], depth, time, place)
            assert np.allclose(chances.sum(axis=-1), 1)
            assert chances.min() >= 0.999 * WHIM / len(KITS[name].hand_surfaces)


def test_a_player_is_expected_to_do_what_they_always_did():
    table = SurfaceTable.of([line(SNARE, HIGH, FLOOR)] * 200)
    surfaces = KIT.hand_surfaces
    after = table.chances(KIT, 2, 3, 0)
    snare, high = (surfaces.index(surface) + 1 for surface in (SNARE, HIGH))
    assert after[snare, high].argmax() == surfaces.index(FLOOR)
    assert table.chances(KIT, 2, FIRST, 0)[0, 0].argmax() == surfaces.index(SNARE)


def test_of_who_knows_nothing_each_group_is_as_likely_and_missing_ones_are_stood_in_for():
    chances = SurfaceTable({}).chances(Kit((SNARE, FLOOR, Surface.HI_HAT)), 2, FIRST, 0)[0, 0]
    # Of seven groups both rack toms go to the floor tom, ride and crash to the hi-hat.
    expected = [(1 - WHIM) * share / 7 + WHIM / 3 for share in (1, 3, 3)]
    assert chances == pytest.approx(expected)


def test_a_player_with_one_rack_tom_is_handed_out_two():
    table = SurfaceTable.of([line(SNARE, HIGH, HIGH, FLOOR)] * 50)
    assert table.one_rack
    mid = KIT.hand_surfaces.index(MID)
    assert table.chances(KIT, 2, 3, 1)[1, 1, mid] > WHIM


def test_a_player_with_two_rack_toms_keeps_them_apart():
    table = SurfaceTable.of([line(SNARE, HIGH, MID, FLOOR)] * 50)
    assert not table.one_rack
    surfaces = KIT.hand_surfaces
    after = table.chances(KIT, 2, 3, 0)[surfaces.index(SNARE) + 1, surfaces.index(HIGH) + 1]
    assert after.argmax() == surfaces.index(MID)


def test_cowbell_takes_its_share_of_the_ride():
    table = SurfaceTable.of([line(Surface.RIDE, Surface.RIDE, Surface.RIDE)] * 50)
    chances = dict(zip(KIT.hand_surfaces, table.chances(KIT, 2, FIRST, 0)[0, 0], strict=True))
    assert chances[Surface.RIDE] > chances[Surface.COWBELL] > chances[Surface.CRASH]
