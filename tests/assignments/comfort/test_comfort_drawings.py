"""The drawings of a comfort zone: the kit with its moves, and the line over the weeks."""

import re
from datetime import date, timedelta
from itertools import combinations
from math import dist

import pytest

from assignments.comfort.comfort_zones import Point
from assignments.comfort.kit_picture import MOST_ARROWS, NUMBER_RADIUS, WIDEST, kit_picture
from assignments.comfort.variety_chart import line
from assignments.progress.charts import HEIGHT, WIDTH
from assignments.templatetags.text_filters import in_minutes, percent
from rhythms.engine import Kit, Surface
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.variety_estimate import Estimate
from rhythms.engine.kits.surfaces import KIT_SURFACES

S = Surface
KIT = Kit.standard()
DAY = date(2026, 9, 9)


def made(origin, target, share, expected=0.01):
    return MoveMade(origin, target, share, expected, 0.01, 3, 0.6)


def drums(picture):
    return {drum.surface: (float(drum.x), float(drum.y)) for drum in picture.drums}


def test_drums_stand_as_their_player_sees_them():
    at = drums(kit_picture(KIT, [], []))
    assert at[S.HI_HAT][0] < at[S.SNARE][0] < at[S.FLOOR_TOM][0]
    assert at[S.CRASH][1] < at[S.HIGH_TOM][1] < at[S.SNARE][1]  # up is away from the player


def test_a_left_handed_kit_is_mirrored():
    mirrored = drums(kit_picture(Kit.standard(left_handed=True), [], []))
    assert {surface: (-x, y) for surface, (x, y) in drums(kit_picture(KIT, [], [])).items()} == {
        surface: pytest.approx(place) for surface, place in mirrored.items()
    }


def test_every_drum_stands_inside_the_picture():
    picture = kit_picture(Kit(KIT_SURFACES), [made(S.SNARE, S.BASS_DRUM, 0.1)], [])
    left, top, width, height = map(float, picture.box.split())
    for drum in picture.drums:
        x, y, radius = float(drum.x), float(drum.y), float(drum.radius)
        assert left <= x - radius
        assert x + radius <= left + width
        assert top <= y - radius
        assert y + radius <= top + height


def test_drums_that_were_not_used_are_marked():
    picture = kit_picture(KIT, [], [S.RIDE])
    assert {drum.surface for drum in picture.drums if not drum.used} == {S.RIDE}


def test_pedals_are_drawn_only_where_a_move_goes_to_them():
    assert S.BASS_DRUM not in drums(kit_picture(KIT, [], []))
    assert S.BASS_DRUM in drums(kit_picture(KIT, [made(S.SNARE, S.BASS_DRUM, 0.1)], []))


def test_the_move_made_most_often_has_the_widest_arrow():
    moves = [made(S.SNARE, S.HIGH_TOM, 0.3), made(S.HIGH_TOM, S.MID_TOM, 0.1)]
    wide = {arrow.move.target: float(arrow.wide) for arrow in kit_picture(KIT, moves, []).arrows}
    assert wide[S.HIGH_TOM] == WIDEST
    assert wide[S.MID_TOM] < WIDEST / 2


def test_an_arrow_goes_from_its_drum_towards_the_other():
    (arrow,) = kit_picture(KIT, [made(S.HI_HAT, S.RIDE, 0.3)], []).arrows
    start, *_, end = re.findall(r"(-?[\d.]+) -?[\d.]+", arrow.path)
    assert float(start) < float(end)


def test_both_ways_between_two_drums_can_be_told_apart():
    moves = [made(S.SNARE, S.RIDE, 0.2), made(S.RIDE, S.SNARE, 0.2)]
    there, back = kit_picture(KIT, moves, []).arrows
    bends = [re.search(r"Q(\S+ \S+) ", arrow.path)[1] for arrow in (there, back)]
    assert bends[0] != bends[1]


def test_staying_rare_moves_and_other_kits_surfaces_have_no_arrow():
    moves = [
        made(S.SNARE, S.SNARE, 0.5),
        made(S.SNARE, S.RIDE, 0.001),
        made(S.SNARE, S.CHINA, 0.4),
    ]
    assert kit_picture(KIT, moves, []).arrows == ()


def test_there_are_no_more_arrows_than_are_taken_in_at_a_glance():
    hands = KIT.hand_surfaces
    moves = [made(a, b, 0.02) for a in hands for b in hands if a != b]
    assert len(kit_picture(KIT, moves, []).arrows) == MOST_ARROWS


def test_moves_that_stand_out_are_the_first_to_be_shown():
    hands = KIT.hand_surfaces
    others = [made(hands[0], one, 0.2, expected=0.3) for one in hands[1:]]
    moves = [*others, made(S.HIGH_TOM, S.SNARE, 0.05)]
    first = kit_picture(KIT, moves, []).arrows[0]
    assert (first.number, first.move) == (1, moves[-1])


@pytest.mark.parametrize(
    "pairs",
    [
        [(S.SNARE, S.BASS_DRUM), (S.BASS_DRUM, S.SNARE), (S.SNARE, S.HIGH_TOM)],
        [(S.FLOOR_TOM, S.SNARE), (S.SNARE, S.FLOOR_TOM), (S.HI_HAT, S.FLOOR_TOM)],
        [(S.HIGH_TOM, S.MID_TOM), (S.MID_TOM, S.HIGH_TOM), (S.MID_TOM, S.FLOOR_TOM)],
    ],
)
def test_no_number_stands_on_another_one_or_on_a_name(pairs):
    picture = kit_picture(KIT, [made(*pair, 0.2) for pair in pairs], [])
    at = [(float(arrow.x), float(arrow.y)) for arrow in picture.arrows]
    for one, other in combinations(at, 2):
        assert dist(one, other) > 2 * NUMBER_RADIUS
    for x, y in at:
        for name in drums(picture).values():
            assert abs(x - name[0]) > NUMBER_RADIUS or abs(y - name[1]) > NUMBER_RADIUS


def points(*values):
    return [
        Point(
            DAY + timedelta(weeks=week),
            None if value is None else Estimate(value, value - 0.2, value + 0.2, 9),
        )
        for week, value in enumerate(values)
    ]


def test_the_line_rises_with_variety_on_a_scale_from_one():
    (path,) = line(points(1.0, 2.0, 3.0)).lines
    xs, ys = zip(*(map(float, pair.split()) for pair in path[1:].split("L")), strict=True)
    assert (xs[0], xs[-1]) == (0, WIDTH)
    assert ys[0] == HEIGHT
    assert list(ys) == sorted(ys, reverse=True)


def test_the_line_breaks_where_takes_were_too_few():
    assert len(line(points(1.2, 1.3, None, 1.4, 1.5)).lines) == 2


def test_a_single_week_is_still_seen():
    drawn = line(points(None, 1.4, None))
    assert len(drawn.lines) == len(drawn.bands) == 1
    assert "L" in drawn.lines[0]


def test_without_anything_known_there_is_no_line():
    assert not line(points(None, None)).is_drawn


@pytest.mark.parametrize(("share", "text"), [(0, "0 %"), (0.001, "1 %"), (0.834, "83 %")])
def test_a_share_that_is_there_is_never_nothing(share, text):
    assert percent(share) == text


def test_little_playing_is_a_minute():
    assert (in_minutes(20), in_minutes(600)) == ("1 min", "10 min")
