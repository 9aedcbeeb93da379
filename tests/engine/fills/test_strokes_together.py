"""What several limbs strike at one onset: its order, JSON form and hands, and what is refused."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Kit, Stroke, Surface
from rhythms.engine.errors import FillError
from rhythms.engine.fills.fill import Hit, open_hand, stroke_in_words, stroke_of, with_hand
from rhythms.engine.fills.hands import as_taught, off_the_grid, with_hands
from rhythms.engine.fills.limbs import hits_of, moves_of
from rhythms.engine.fills.playability import effort, top_tempo
from rhythms.engine.kits.kit_layout import PLACES
from tests.strategies import strokes_together
from tests.thoroughness import examples

STANDARD, MIRRORED = Kit.standard(), Kit.standard(left_handed=True)
BASS = Hit(Surface.BASS_DRUM, "RF")
FOUR_HITS = [
    Hit(Surface.FLOOR_TOM, "R"),
    Hit(Surface.HI_HAT_FOOT, "LF"),
    Hit(Surface.SNARE, "L"),
    BASS,
]


@given(st.permutations(FOUR_HITS))
def test_a_stroke_is_one_whatever_order_its_hits_come_in(hits):
    stroke = stroke_of(hits)
    assert stroke.surfaces == ("snare", "floor tom", "bass drum", "hi-hat foot")
    assert set(stroke.hits) == set(hits)


@given(strokes_together())
def test_a_stroke_is_made_of_its_own_hits(stroke):
    assert stroke_of(stroke.hits, stroke.ornament) == stroke


@given(st.lists(strokes_together(), min_size=4, max_size=4))
def test_a_stored_fill_is_read_back(strokes):
    fill = Fill(Bar.from_counts("1 2 3 4"), tuple(strokes))
    assert Fill.from_json(fill.to_json()) == fill


def test_a_stroke_alone_is_stored_as_it_was_before_strokes_could_be_together():
    fill = Fill(Bar.from_counts("1", "1/4"), (Stroke(Surface.SNARE, "R", "accent", "flam"),))
    assert fill.to_json()["strokes"] == [["snare", "R", "accent", "flam"]]


@pytest.mark.parametrize(
    ("hits", "ornament", "words"),
    [
        ([Hit(Surface.SNARE, "R"), Hit(Surface.RIDE, "R")], None, "right hand cannot strike snare"),
        ([Hit(Surface.BASS_DRUM, "RF"), Hit(Surface.HI_HAT_FOOT, "RF")], None, "right foot cannot"),
        ([Hit(Surface.SNARE), Hit(Surface.RIDE), Hit(Surface.CRASH)], None, "two hands"),
        ([Hit(Surface.SNARE, "R"), Hit(Surface.SNARE, "L")], None, "write that as a flam"),
        ([Hit(Surface.SNARE), Hit(Surface.RIDE)], "flam", "no other hand"),
        ([BASS], "drag", "no other hand"),
        ([], None, "strikes something"),
    ],
)
def test_what_no_player_can_strike_at_once_is_refused(hits, ornament, words):
    with pytest.raises(FillError, match=words):
        stroke_of(hits, ornament)


def test_two_strokes_of_one_hand_in_a_stored_fill_are_refused_by_name():
    stored = Fill(Bar.from_counts("1", "1/4"), (Stroke(Surface.SNARE, "R"),)).to_json()
    stored["strokes"][0].append([["crash", "R", "normal"]])
    with pytest.raises(FillError, match="right hand cannot strike snare and crash at once"):
        Fill.from_json(stored)


def test_a_foot_may_go_under_an_ornament():
    stroke = stroke_of([BASS, Hit(Surface.SNARE, "R")], "flam")
    assert stroke_in_words(stroke) == "flam on the snare with the bass drum, right hand"


def test_of_two_hands_both_are_named_in_the_order_of_what_they_strike():
    assert stroke_in_words(stroke_of(FOUR_HITS)) == (
        "snare with the floor tom and the bass drum and the hi-hat foot, left and right hand"
    )


def test_opening_the_hands_opens_both_and_leaves_the_feet():
    opened = open_hand(stroke_of(FOUR_HITS))
    assert [hit.limb for hit in opened.hits] == [None, None, "RF", "LF"]
    assert with_hand(opened, "L") == stroke_of(FOUR_HITS)


def on(counts: str, strokes: list[Stroke]) -> Fill:
    bar = Bar.from_counts(counts, "2/4")
    return Fill(bar, tuple(strokes[: len(bar.sounded)]))


opened_lines = st.lists(
    strokes_together().map(open_hand).filter(lambda stroke: not stroke.by_foot),
    min_size=7,
    max_size=7,
)
lines = st.sampled_from(["1 e & 2 &", "1 trip let 2 e & a", "1 & a 2 a"])


def every_sticking(fill: Fill, kit: Kit) -> list[Fill]:
    """But those in which two hands at once are crossed."""
    stickings = product("RL", repeat=len(fill.strokes))
    handed = (tuple(map(with_hand, fill.strokes, limbs)) for limbs in stickings)
    return [
        Fill(fill.bar, strokes)
        for strokes in handed
        if not any(crossed(stroke, kit) for stroke in strokes if stroke.both_hands)
    ]


def crossed(stroke: Stroke, kit: Kit) -> bool:
    x = {hit.limb: PLACES[hit.surface].x for hit in stroke.hand_hits}
    over_the_hat = any("hi-hat" in hit.surface for hit in stroke.hand_hits)
    return not over_the_hat and (x["R"] - x["L"]) * (-1 if kit.left_handed else 1) < -10


@examples(30)
@given(lines, opened_lines, st.sampled_from([STANDARD, MIRRORED]))
def test_hands_of_least_effort_are_those_of_all_stickings(counts, strokes, kit):
    fill = on(counts, strokes)
    least = min(effort(one, kit, 90).total for one in every_sticking(fill, kit))
    assert effort(with_hands(fill, kit), kit, 90).total == pytest.approx(least, abs=1e-7)


@examples(30)
@given(lines, opened_lines, st.sampled_from([STANDARD, MIRRORED]), st.sampled_from([60, 160]))
def test_as_few_single_strokes_as_possible_leave_the_grid(counts, strokes, kit, tempo):
    fill = on(counts, strokes)

    def cost(one: Fill) -> tuple[int, int, float]:
        late = sum(move.load(tempo) > 1 for move in moves_of(one, kit))
        return late, len(off_the_grid(fill, one, kit)), round(effort(one, kit, 60).total, 7)

    best = min(map(cost, every_sticking(fill, kit)))
    assert cost(as_taught(fill, kit, tempo)) == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize("before", ["crash", "floor tom", "snare"])
@pytest.mark.parametrize(("kit", "hands"), [(STANDARD, "LR"), (MIRRORED, "RL")])
def test_two_hands_at_once_do_not_cross(kit, hands, before):
    """The floor tom stands on the leading hand's side."""
    both = stroke_of([Hit(Surface.SNARE), Hit(Surface.FLOOR_TOM)])
    line = [Stroke(Surface(before)), Stroke(Surface.RIDE)]
    played = with_hands(on("1 & 2 &", [*line, both, both]), kit)
    assert [hit.limb for hit in played.strokes[2].hits] == list(hands)


def test_every_limb_is_where_its_hit_is():
    fill = with_hands(on("1 2", [stroke_of(FOUR_HITS)] * 2), STANDARD)
    places = {limb: {hit.surface for hit in hits} for limb, hits in hits_of(fill).items()}
    assert places == {
        "R": {"floor tom"},
        "L": {"snare"},
        "RF": {"bass drum"},
        "LF": {"hi-hat foot"},
    }


def test_a_foot_under_every_16th_limits_the_tempo_as_a_foot_alone_does():
    """A foot again takes a seventh of a second (this project's own limit)."""
    with_foot = stroke_of([Hit(Surface.SNARE), BASS])
    fill = Fill(Bar.from_counts("1 e & a", "1/4"), (with_foot,) * 4)
    assert top_tempo(fill, STANDARD) == pytest.approx(60 * 7 / 4)
