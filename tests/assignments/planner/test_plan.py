"""The plan of a day, case by case."""

import pytest
from fsrs import Rating

from assignments.planner.due import LONGEST_GAP, Review, due_on, recheck_due
from assignments.planner.history import Record, Sitting, records
from assignments.planner.plan import PlanPart, make_plan
from assignments.planner.tempo import next_tempo
from rhythms.engine import Surface
from tests.assignments.planner.histories import (
    DAY,
    a_fill,
    a_piece,
    clean,
    days_ago,
    poor,
)


def parts(plan) -> list[tuple[str, int]]:
    return [(str(item.part), item.piece.id) for item in plan.items]


def plan_of(pieces, log=(), minutes=5, **how):
    return make_plan(pieces, list(log), DAY, minutes, **how)


class TestAFirstDay:
    def test_the_groove_alone_and_then_the_first_fill(self):
        plan = plan_of([a_piece(1), a_piece(2)])
        assert parts(plan) == [("loosen up", 1), ("new", 1)]
        assert [item.groove_alone for item in plan.items] == [True, False]

    def test_begins_slowly(self):
        assert plan_of([a_piece(1, goal=100)]).items[-1].tempo == 70

    def test_a_fill_that_is_playable_only_slower_begins_slower(self):
        assert plan_of([a_piece(1, goal=100, top=60)]).items[-1].tempo == 42

    def test_nobody_is_asked_to_play_slower_than_can_be_set(self):
        assert plan_of([a_piece(1, goal=32)]).items[-1].tempo == 30

    def test_without_fills_there_is_nothing_to_play(self):
        assert plan_of([]).items == ()


class TestAnOrdinaryDay:
    @pytest.fixture
    def stand(self):
        """One mastered and due, two known, one new."""
        return [
            a_piece(1, mastered_on=days_ago(5)),
            a_piece(2),
            a_piece(3),
            a_piece(4),
        ]

    @pytest.fixture
    def log(self):
        return [clean(1, 6, 80), clean(2, 3, 60), clean(3, 2, 60)]

    def test_loosens_up_checks_brings_the_new_one_and_lets_it_take_turns(self, stand, log):
        whole = parts(plan_of(stand, log))
        assert whole[0][0] == "loosen up"
        assert whole[1:3] == [("re-check", 1), ("new", 4)]
        assert [piece for part, piece in whole[3:] if part == "turn"][:3] == [2, 4, 3]

    def test_blocked_the_known_ones_come_after_the_new_one(self, stand, log):
        whole = parts(plan_of(stand, log, mixed=False))
        assert whole[1:] == [("re-check", 1), ("new", 4), ("turn", 2), ("turn", 3)]

    def test_the_new_one_gets_the_most_time(self, stand, log):
        seconds = {}
        for item in plan_of(stand, log).items:
            seconds[item.piece.id] = seconds.get(item.piece.id, 0) + item.seconds
        assert max(seconds, key=seconds.get) == 4

    def test_the_recheck_is_at_the_tempo_asked_for(self, stand, log):
        (check,) = [item for item in plan_of(stand, log).items if item.part is PlanPart.CHECK]
        assert check.tempo == 80

    def test_what_is_checked_cold_is_not_what_one_loosens_up_with(self, stand, log):
        first, second, *_ = plan_of(stand, log).items
        assert (first.part, second.part) == (PlanPart.LOOSEN_UP, PlanPart.CHECK)
        assert first.piece != second.piece


class TestNewOnes:
    def test_none_is_begun_while_three_are_in_work(self):
        log = [poor(number, ago=number) for number in (1, 2, 3)]
        plan = plan_of([a_piece(number) for number in (1, 2, 3, 4)], log)
        assert "new" not in [part for part, _ in parts(plan)]

    def test_one_that_is_close_to_yesterdays_waits_for_one_that_is_not(self):
        alike = a_fill((Surface.SNARE, Surface.SNARE, Surface.HIGH_TOM))
        far = a_fill((Surface.CRASH, Surface.FLOOR_TOM))
        stand = [
            a_piece(1, fill=alike),
            a_piece(2, fill=alike),
            a_piece(3, fill=far),
        ]
        assert ("new", 3) in parts(plan_of(stand, [clean(1, 1)]))

    def test_two_days_later_it_has_its_turn(self):
        alike = a_fill((Surface.SNARE, Surface.SNARE, Surface.HIGH_TOM))
        stand = [a_piece(1, fill=alike), a_piece(2, fill=alike), a_piece(3)]
        assert ("new", 2) in parts(plan_of(stand, [clean(1, 2)]))

    def test_one_begun_today_out_of_turn_is_the_new_one(self):
        log = [clean(3, 0)]
        plan = plan_of([a_piece(1), a_piece(2), a_piece(3)], log)
        assert [piece for part, piece in parts(plan) if part == "new"] == [3]


class TestTempo:
    @pytest.fixture
    def piece(self):
        return a_piece(1, goal=100)

    def after(self, piece, *log) -> int:
        (record,) = records([piece], log, DAY)
        return next_tempo(record)

    def test_it_climbs_when_it_came_out_clean(self, piece):
        assert self.after(piece, clean(1, 1, 80)) == 84

    def test_it_falls_when_it_did_not(self, piece):
        assert self.after(piece, poor(1, 1, 80)) == 72

    def test_it_stays_when_half_of_it_was_clean(self, piece):
        assert self.after(piece, Sitting(1, days_ago(1), 80, 4, 2)) == 80

    def test_it_stays_when_nobody_counted(self, piece):
        assert self.after(piece, Sitting(1, days_ago(1), 80)) == 80

    def test_how_it_felt_is_taken_where_nothing_was_counted(self, piece):
        assert self.after(piece, Sitting(1, days_ago(1), 80, felt="easy")) == 84

    def test_after_something_hurt_it_is_slower(self, piece):
        assert self.after(piece, Sitting(1, days_ago(1), 80, felt="sore")) == 72

    def test_it_does_not_climb_beyond_what_was_asked(self, piece):
        assert self.after(piece, clean(1, 1, 99)) == 100

    def test_one_step_a_day_however_often_it_was_played(self, piece):
        assert self.after(piece, clean(1, 1, 80), clean(1, 1, 80), clean(1, 1, 80)) == 84

    def test_all_times_through_of_a_day_count_together(self, piece):
        assert self.after(piece, clean(1, 1, 80), poor(1, 1, 80)) == 80
        assert self.after(piece, poor(1, 1, 80), poor(1, 1, 80)) == 72

    def test_one_slip_in_a_short_turn_is_no_step_back(self, piece):
        slip = Sitting(1, days_ago(1), 80, loops=1, clean_loops=0)
        assert self.after(piece, clean(1, 1, 80), slip) == 84

    def test_loosening_up_with_it_slowly_is_no_step_back(self, piece):
        assert self.after(piece, clean(1, 2, 80), clean(1, 1, 70)) == 84

    def test_the_highest_tempo_of_a_day_is_where_it_goes_on(self, piece):
        assert self.after(piece, clean(1, 1, 80), clean(1, 1, 70)) == 84

    def test_from_the_slowest_it_climbs_too(self):
        assert self.after(a_piece(1, goal=40), clean(1, 1, 30)) == 32

    def test_with_clean_practice_it_arrives_within_two_weeks(self, piece):
        log = []
        for ago in range(14, 0, -1):
            tempo = self.after(piece, *log)
            log.append(clean(1, ago, tempo))
        assert self.after(piece, *log) == 100


class TestRechecks:
    """Gaps grow about as teachers are advised: 1, 3, 7, 14, 30 days (any growth will do:
    Latimier et al. 2021, expanding against even gaps g = 0.034)."""

    def gaps(self, *, checks: int) -> list[int]:
        record = Record(a_piece(1, mastered_on=days_ago(200)))
        gaps, before = [], days_ago(200)
        for _ in range(checks):
            due = recheck_due(record)
            gaps.append((due - before).days)
            sitting = Sitting(1, due, 80, 4, 4, recheck=True)
            record = Record(record.piece, (*record.sittings, sitting))
            before = due
        return gaps

    def test_the_first_is_on_the_next_day(self):
        assert self.gaps(checks=1) == [1]

    def test_the_gaps_grow_and_end(self):
        gaps = self.gaps(checks=7)
        assert gaps == sorted(gaps)
        assert gaps[1] > gaps[0]
        assert gaps[-1] == LONGEST_GAP

    def test_what_is_mastered_is_heard_within_a_month_however_often_it_was_clean(self):
        reviews = [Review(days_ago(3000 - 200 * k), Rating.Good) for k in range(14)]
        gap = (due_on(reviews) - reviews[-1].day).days
        assert 7 < gap <= 31

    def test_a_practice_that_was_no_recheck_does_not_put_it_off(self):
        piece = a_piece(1, mastered_on=days_ago(5))
        assert recheck_due(Record(piece, (clean(1, 4),))) == recheck_due(Record(piece))

    def test_the_schedule_is_that_of_the_library(self):
        """FSRS-6 with its published default weights: initial stabilities of Hard and Good are
        1.2931 and 2.3065 days, so the first gaps are 1 and 2 days at 90 % retention."""
        assert (due_on([Review(DAY, Rating.Hard)]) - DAY).days == 1
        assert (due_on([Review(DAY, Rating.Good)]) - DAY).days == 2

    def test_one_in_five_minutes(self):
        stand = [a_piece(number, mastered_on=days_ago(9)) for number in range(6)]
        checks = [piece for part, piece in parts(plan_of(stand, minutes=15)) if part == "re-check"]
        assert len(checks) == 3


@pytest.mark.parametrize("minutes", [-1, 0, 61, 9999])
def test_no_plan_is_made_for_impossible_minutes(minutes):
    with pytest.raises(ValueError, match="1 to 60 minutes"):
        plan_of([a_piece(1)], minutes=minutes)
