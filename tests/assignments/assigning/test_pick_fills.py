"""Choosing fills for a student, and the words for why."""

from dataclasses import replace
from fractions import Fraction

import pytest

from assignments.assigning.pick_fills import (
    NOBODY,
    PickContext,
    PickedRanks,
    effort_in_words,
    pick_ranks,
    playable,
    playable_ranks,
    reason,
)
from rhythms.engine import Kit, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.fills.playability import Effort
from rhythms.engine.picking import Ended, Picked, appraise
from rhythms.engine.space.moves import Move
from tests.assignments.assigning.test_assign import LARGE, space_of_size

HARD = Feel(75)
RIDE_TO_FLOOR = Move(Fraction(0), Surface.RIDE, Surface.FLOOR_TOM)
CRASH_TO_SNARE = Move(Fraction(0), Surface.CRASH, Surface.SNARE)
SNARE_TO_CRASH = Move(Fraction(1, 2), Surface.SNARE, Surface.CRASH)


class PicksIn:
    """Four fills picked at a tempo, in a feel."""

    def __init__(self, feel: Feel, tempo: int) -> None:
        self.player = PickContext((), tempo, feel=feel)
        self.ranks = pick_ranks(LARGE, 4, self.player, 5).ranks

    def tempi(self, feel: Feel) -> list[float]:
        """How fast each of them can be played in a feel."""
        tempo, fills = self.player.tempo, map(LARGE.fill, self.ranks)
        return [appraise(fill, LARGE.kit, (), tempo, feel=feel).top_tempo for fill in fills]


def picked(*moves: Move, novelty: float = 0.5, top_tempo: float = 126.4) -> Picked:
    return Picked(LARGE.fill(12_345), novelty, Effort(1, 3, 2, 0), top_tempo, moves)


class TestChoose:
    def test_keeps_what_is_kept_in_its_place(self):
        assert pick_ranks(LARGE, 3, NOBODY, 5, keep=(7, 2)).ranks[:2] == (7, 2)

    def test_the_same_arguments_give_the_same_choice(self):
        assert pick_ranks(LARGE, 3, NOBODY, 5) == pick_ranks(LARGE, 3, NOBODY, 5)
        assert pick_ranks(LARGE, 3, NOBODY, 5) != pick_ranks(LARGE, 3, NOBODY, 6)

    def test_leaves_out_what_was_sent_away(self):
        left = pick_ranks(space_of_size(6), 24, NOBODY, 5, leave_out=(2, 4))
        assert left == PickedRanks(left.ranks, Ended.NONE_LEFT)
        assert sorted(left.ranks) == [0, 1, 3, 5]

    def test_leaves_out_what_the_player_knows(self):
        small = space_of_size(4)
        player = PickContext([small.fill(1), small.fill(3)], 60)
        assert sorted(pick_ranks(small, 4, player, 5).ranks) == [0, 2]

    def test_only_what_can_be_played_at_the_tempo(self):
        ranks = pick_ranks(LARGE, 4, PickContext((), 110), 5).ranks
        tempi = [appraise(LARGE.fill(rank), LARGE.kit, (), 110).top_tempo for rank in ranks]
        assert len(tempi) == 4
        assert min(tempi) >= 110

    def test_swung_only_what_can_be_played_in_that_feel(self):
        straight, swung = PicksIn(STRAIGHT, 110), PicksIn(HARD, 110)
        assert len(swung.ranks) == 4
        assert min(swung.tempi(HARD)) >= 110
        assert min(straight.tempi(HARD)) < 110

    def test_strokes_they_know_come_in_a_feel_they_can_be_played_in(self):
        known, player = PicksIn(STRAIGHT, 110), PicksIn(HARD, 110).player
        fitting = [
            rank for rank, top in zip(known.ranks, known.tempi(HARD), strict=True) if top >= 110
        ]
        found = playable_ranks(LARGE, 4, player, (), known.ranks)
        assert found == PickedRanks(tuple(fitting), Ended.NONE_LEFT)


class TestWords:
    def test_new_moves_and_the_top_tempo_are_the_reason(self):
        assert reason(picked(RIDE_TO_FLOOR), 88, first=False) == (
            "New moves: ride to floor tom. Playable to 126."
        )

    def test_a_few_new_moves_stand_for_many(self):
        many = picked(RIDE_TO_FLOOR, CRASH_TO_SNARE, SNARE_TO_CRASH)
        assert reason(many, 88, first=False) == (
            "New moves: ride to floor tom, crash to snare and more. Playable to 126."
        )

    @pytest.mark.parametrize(
        ("novelty", "words"),
        [(0.7, "Known moves in a new order."), (0.2, "Close to what they know.")],
    )
    def test_without_new_moves_it_says_how_far_the_fill_is(self, novelty, words):
        assert reason(picked(novelty=novelty), 88, first=False).startswith(words)

    def test_a_fill_without_moves_is_called_by_its_surface(self):
        still = replace(picked(novelty=1.0), fill=snare_fill(LARGE.bar))
        assert reason(still, 88, first=False) == "Stays on the snare. Playable to 126."

    def test_a_first_fill_is_compared_with_nothing(self):
        assert reason(picked(RIDE_TO_FLOOR), 88, first=True) == "Playable to 126."

    def test_a_tempo_beyond_the_top_is_named(self):
        assert playable(76.9, 88) == "Playable to 76 only, slower than 88."
        assert playable(88, 88) == "Playable to 88."

    @pytest.mark.parametrize(
        ("top_tempo", "words"),
        [
            (200, "easy at 88"),
            (126, "some work at 88, mostly long ways"),
            (90, "hard at 88, mostly long ways"),
        ],
    )
    def test_effort_has_a_word_by_the_share_of_the_top_tempo(self, top_tempo, words):
        assert effort_in_words(picked(top_tempo=top_tempo), 88) == words

    @pytest.mark.parametrize(
        ("strain", "words"),
        [(0.5, "easier than so far"), (1.0, "as hard as so far"), (2.0, "harder than so far")],
    )
    def test_effort_is_told_against_what_the_student_holds(self, strain, words):
        one = replace(picked(top_tempo=200), strain=strain)
        assert effort_in_words(one, 88) == f"easy at 88; {words}"


def test_an_assigned_fill_is_appraised_on_the_students_kit():
    fill = snare_fill(LARGE.bar)
    assert appraise(fill, Kit.standard(), [fill], 60).novelty == pytest.approx(0, abs=1e-6)
