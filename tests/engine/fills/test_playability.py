"""Playability: top tempo, effort, and the sticking of least effort."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Kit, Meter, Stroke, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Hit, other_hand, stroke_of, with_hand
from rhythms.engine.fills.hands import with_hands
from rhythms.engine.fills.ostinato import Ostinato
from rhythms.engine.fills.playability import MOST_TEMPO, effort, fits_as_taught, top_tempo
from rhythms.engine.kits import move_time
from rhythms.engine.playback.ostinato_library import ostinato_named, typed_ostinato
from tests.thoroughness import examples

STANDARD, MIRRORED = Kit.standard(), Kit.standard(left_handed=True)
SIXTEENTHS = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
SURFACES = STANDARD.hand_surfaces


def fill(surfaces: str, hands: str = "", bar: Bar = SIXTEENTHS) -> Fill:
    """Surfaces by letter: s snare, h high tom, m mid tom, f floor tom, c crash, r ride."""
    names = {
        "s": Surface.SNARE,
        "h": Surface.HIGH_TOM,
        "m": Surface.MID_TOM,
        "f": Surface.FLOOR_TOM,
        "c": Surface.CRASH,
        "r": Surface.RIDE,
    }
    limbs = hands or [None] * len(surfaces)
    return Fill(bar, tuple(Stroke(names[s], h) for s, h in zip(surfaces, limbs, strict=True)))


def mirrored(played: Fill) -> Fill:
    strokes = (with_hand(s, other_hand(str(s.limb))) for s in played.strokes)
    return Fill(played.bar, tuple(strokes))


alone = st.builds(
    Stroke,
    surface=st.sampled_from(SURFACES),
    limb=st.sampled_from("RL"),
    dynamic=st.just("normal"),
    ornament=st.sampled_from([None, None, None, "flam", "drag", "diddle", "buzz"]),
    beside=st.just(()),
)
together = st.permutations(SURFACES).map(
    lambda order: stroke_of([Hit(order[0], "R"), Hit(order[1], "L")])
)
handed = st.lists(st.one_of(alone, alone, together), min_size=16, max_size=16).map(
    lambda strokes: Fill(SIXTEENTHS, tuple(strokes))
)


@given(handed)
def test_a_mirrored_kit_and_mirrored_hands_have_the_same_top_tempo(played):
    assert top_tempo(mirrored(played), MIRRORED) == pytest.approx(top_tempo(played, STANDARD))


@given(handed, st.floats(40, 200))
def test_a_mirrored_kit_and_mirrored_hands_take_the_same_effort(played, tempo):
    here = effort(played, STANDARD, tempo)
    there = effort(mirrored(played), MIRRORED, tempo)
    assert there.total == pytest.approx(here.total)
    assert there.crossings == pytest.approx(here.crossings)


@given(st.sampled_from(SURFACES), st.sampled_from(SURFACES))
def test_a_larger_distance_never_takes_less_time(a, b):
    from_snare = sorted(
        (move_time.distance(Surface.SNARE, target), target)
        for target in (a, b)
        if move_time.PLACES[target].width == move_time.PLACES[a].width
    )
    times = [move_time.move_time(Surface.SNARE, target) for _, target in from_snare]
    assert times == sorted(times)


@examples(30)
@given(handed)
def test_spreading_the_kit_never_raises_the_top_tempo(played):
    before = top_tempo(played, STANDARD)
    with pytest.MonkeyPatch.context() as patch:
        for surface, place in move_time.PLACES.items():
            wider = place._replace(x=place.x * 1.5, y=place.y * 1.5)
            patch.setitem(move_time.PLACES, surface, wider)
        move_time.move_time.cache_clear()
        assert top_tempo(played, STANDARD) <= before
    move_time.move_time.cache_clear()


def test_singles_on_the_snare_reach_the_published_one_hand_rates():
    """Ordinary one-hand tapping is 5 to 7 strokes a second; the fastest drummer measured had 10.

    Fujii et al. 2009, Neuroscience Letters (doi 10.1016/j.neulet.2009.04.055).
    """
    tempo = top_tempo(fill("s" * 16, "RL" * 8), STANDARD)
    one_hand = tempo / 60 * 4 / 2
    assert 5 <= one_hand <= 10
    assert top_tempo(fill("s" * 16, "R" * 16), STANDARD) / 60 * 4 == pytest.approx(one_hand)


def test_a_doubled_hand_is_slower_on_two_drums_than_on_one():
    letters = "RLRRLRLL" * 2
    on_one = fill("ssffsshh" * 2, "RLRRLRLL" * 2)
    on_two = fill("ssfhsshm" * 2, letters)
    assert top_tempo(on_two, STANDARD) < top_tempo(on_one, STANDARD)


def test_a_hand_that_buzzes_leaves_after_half_the_note():
    """Half the note is the buzz's: common practice. The bounces themselves are no strokes."""
    plain = fill("sf" * 8, "R" * 16)
    buzzed = Fill(plain.bar, tuple(s._replace(ornament="buzz") for s in plain.strokes))
    left = float(Fraction(1, 4) / 2)  # of a 16th, in quarters
    slowest = max(
        move_time.move_time(a, b) for a, b in permutations((Surface.SNARE, Surface.FLOOR_TOM))
    )
    assert top_tempo(buzzed, STANDARD) == pytest.approx(60 * left / slowest)


def test_a_paradiddle_on_the_snare_is_slower_than_singles():
    singles = top_tempo(fill("s" * 16, "RL" * 8), STANDARD)
    assert top_tempo(fill("s" * 16, "RLRRLRLL" * 2), STANDARD) < singles


def test_no_move_is_asked_of_one_hand_faster_than_the_floor():
    """The floor of 110 ms between surfaces and 75 ms on one are this project's proposals."""
    for a, b in product(SURFACES, SURFACES):
        assert move_time.move_time(a, b) >= (0.075 if a == b else 0.110)


def test_most_moves_fit_into_the_150_ms_that_need_no_warning():
    moves = [move_time.move_time(a, b) for a, b in product(SURFACES, SURFACES) if a != b]
    near = sum(time <= 0.175 for time in moves)
    assert near > len(moves) / 2


def test_a_bar_of_one_note_has_no_limit():
    assert top_tempo(fill("s", "R", Bar.from_counts("1", "1/4")), STANDARD) == MOST_TEMPO


def test_crossing_hands_take_effort():
    crossed = fill("fcfcfcfcfcfcfcfc", "LR" * 8)
    plain = fill("fcfcfcfcfcfcfcfc", "RL" * 8)
    assert effort(crossed, STANDARD, 80).crossings > effort(plain, STANDARD, 80).crossings == 0 or (
        effort(crossed, STANDARD, 80).total >= effort(plain, STANDARD, 80).total
    )


def test_effort_grows_with_the_square_of_the_tempo():
    played = fill("smfhcrshfmrcsmfh", "RLRRLRLLRLRRLRLL")
    slow, fast = effort(played, STANDARD, 60), effort(played, STANDARD, 120)
    assert fast.total == pytest.approx(4 * slow.total)
    assert slow.total == pytest.approx(slow.hand_rate + slow.travel + slow.doubles + slow.crossings)


def test_a_tempo_of_0_is_refused():
    with pytest.raises(ValueError, match="more than 0"):
        effort(fill("s" * 16, "RL" * 8), STANDARD, 0)


@examples(40)
@given(
    st.sampled_from(["1 e & a 2 & a", "1 trip let 2 e & a", "1 & a 2 a"]),
    st.lists(st.sampled_from(SURFACES), min_size=7, max_size=7),
    st.sampled_from([None, "flam", "drag"]),
    st.sampled_from([STANDARD, MIRRORED]),
    st.sampled_from([STRAIGHT, Feel(67), Feel(75, "16ths")]),
)
def test_proposed_hands_are_those_of_least_effort_of_all_stickings(
    line, surfaces, ornament, kit, feel
):
    bar = Bar.from_counts(line, "2/4")
    strokes = [Stroke(s, ornament=ornament if i == 2 else None) for i, s in enumerate(surfaces)]
    opened = Fill(bar, tuple(strokes[: len(bar.sounded)]))
    least = min(
        effort(with_limbs(opened, limbs), kit, 90, feel).total
        for limbs in product("RL", repeat=len(opened.strokes))
    )
    played = with_hands(opened, kit, feel)
    assert effort(played, kit, 90, feel).total == pytest.approx(least, abs=1e-7)


def with_limbs(opened: Fill, limbs: tuple[str, ...]) -> Fill:
    strokes = zip(opened.strokes, limbs, strict=True)
    return Fill(opened.bar, tuple(stroke._replace(limb=limb) for stroke, limb in strokes))


def test_singles_on_the_snare_are_proposed_hand_to_hand_from_the_leading_hand():
    hands = [s.limb for s in with_hands(fill("s" * 16), STANDARD).strokes]
    assert hands == list("RL" * 8)
    left = [s.limb for s in with_hands(fill("s" * 16), MIRRORED).strokes]
    assert left == list("LR" * 8)


def test_fixed_hands_and_feet_stay():
    bar = Bar.from_counts("1 2 3 4")
    strokes = (
        Stroke(Surface.SNARE, "L"),
        Stroke(Surface.BASS_DRUM, "RF"),
        Stroke(Surface.RIDE),
        Stroke(Surface.SNARE, "L"),
    )
    played = with_hands(Fill(bar, strokes), STANDARD)
    assert [s.limb for s in played.strokes] == ["L", "RF", "R", "L"]


QUARTERS = Bar.from_counts("1 2 3 4")
BASS = Stroke(Surface.BASS_DRUM, "RF")


def over(feet: Ostinato, *strokes: Stroke, bar: Bar = QUARTERS) -> Fill:
    return Fill(bar, strokes or (Stroke(Surface.SNARE),) * len(bar.sounded), feet)


def feet_on(line: str, foot: Surface = Surface.BASS_DRUM) -> Ostinato:
    return typed_ostinato("mine", Meter(4, 4), {foot: line})


@pytest.mark.parametrize(
    ("line", "tempo"),
    [
        ("1 2 3 4", MOST_TEMPO),
        ("1 a 2 a 3 a 4 a", 150),  # a pair of 16ths, the second by heel and toe
        ("1 e & 3", 105),  # three 16ths by one foot on and on
        ("1 & 2 & 3 & 4 &", 210),
        ("1 trip let 2 3 4", 140),
    ],
)
@pytest.mark.parametrize("foot", [Surface.BASS_DRUM, Surface.HI_HAT_FOOT])
@pytest.mark.parametrize("kit", [STANDARD, MIRRORED])
def test_a_foot_that_keeps_going_has_its_limit(line, tempo, foot, kit):
    assert top_tempo(over(feet_on(line, foot)), kit) == pytest.approx(tempo)


def test_samba_is_played_at_the_tempos_of_samba():
    fill = over(ostinato_named("samba", Meter(4, 4)))
    assert fits_as_taught(fill, STANDARD, 130)
    assert not fits_as_taught(fill, STANDARD, 160)


def test_the_two_feet_do_not_wait_for_each_other():
    in_between = "(1) e a (2) e a (3) e a (4) e a"
    both = {Surface.BASS_DRUM: "1 & 2 & 3 & 4 &", Surface.HI_HAT_FOOT: in_between}
    assert top_tempo(over(typed_ostinato("mine", Meter(4, 4), both)), STANDARD) == 210


def test_strokes_of_the_fill_by_a_foot_that_keeps_going_are_in_its_row():
    bar = Bar.from_counts("1 & 2 3 4")
    snare = Stroke(Surface.SNARE)
    strokes = (snare, BASS, snare, snare, snare)
    feet = feet_on("1 e 3")
    assert top_tempo(over(feet, bar=bar), STANDARD) == pytest.approx(150)
    assert top_tempo(over(feet, *strokes, bar=bar), STANDARD) == pytest.approx(105)


def test_a_stroke_where_the_foot_goes_on_anyway_is_one_stroke():
    feet = feet_on("1 2 3 4")
    assert top_tempo(over(feet, *[BASS] * 4), STANDARD) == MOST_TEMPO


def test_feet_of_the_groove_before_a_late_fill_are_not_counted():
    late = over(feet_on("1 e & a 4"), bar=Bar.from_counts("(1) (2) 3 4"))
    assert top_tempo(late, STANDARD) == MOST_TEMPO


def test_two_strokes_of_a_foot_are_faster_than_three():
    bar = Bar.from_counts("1 e & a 2 3 4")
    snare = Stroke(Surface.SNARE)
    two, three = (
        top_tempo(Fill(bar, (snare, *[BASS] * n, *[snare] * (6 - n))), STANDARD) for n in (2, 3)
    )
    assert (two, three) == (pytest.approx(150), pytest.approx(105))
