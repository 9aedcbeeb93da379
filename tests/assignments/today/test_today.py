"""What a student has to play, and in which order."""

from datetime import UTC, date, datetime, timedelta

import pytest

from assignments.fill_queries import beside, by_state, fills_of
from assignments.models import AssignedVariation, Assignment
from assignments.models.variation import State
from assignments.planner.plan import PlanPart
from assignments.practice.practice_log import mark_mastered, take_back
from assignments.today.today import today_of
from tests.assignments.making import first_fill, give, logged

pytestmark = pytest.mark.django_db
WEDNESDAY = date(2026, 11, 25)


def due(days: int) -> date:
    return WEDNESDAY + timedelta(days=days)


@pytest.fixture(autouse=True)
def _on_that_wednesday(monkeypatch):
    noon = datetime(2026, 11, 25, 12, tzinfo=UTC)
    monkeypatch.setattr("django.utils.timezone.now", lambda: noon)


def begun(today) -> list[AssignedVariation]:
    return [line.fill for line in today.lines if line.item.part is PlanPart.NEW]


def three_to_take_turns(student) -> list[AssignedVariation]:
    """Three fills that were begun on the days before, and a fourth that was not."""
    fills = list(give(student, 4).variations.order_by("position"))
    for fill, ago in zip(fills, (3, 2, 1), strict=False):
        logged(student, 5, due(-ago), fill)
    Assignment.objects.update(created_at=datetime(2026, 11, 1, tzinfo=UTC))
    return fills


class TestToday:
    def test_what_is_due_first_is_begun_first(self, student):
        give(student, 1)
        give(student, 1, seed=2, due_on=due(5))
        soon = give(student, 2, seed=3, due_on=due(1))
        assert begun(today_of(student, WEDNESDAY)) == [first_fill(soon)]

    def test_removed_fills_are_gone(self, student):
        give(student, 2).remove()
        today = today_of(student, WEDNESDAY)
        assert (today.lines, today.fills) == ([], [])

    def test_what_is_not_in_the_plan_waits(self, student):
        give(student, 7)
        today = today_of(student, WEDNESDAY)
        assert len(today.others) == 6

    def test_what_is_mastered_does_not_wait(self, student):
        _, second, _ = give(student, 3).variations.order_by("position")
        mark_mastered(second)
        assert second not in today_of(student, WEDNESDAY).others

    def test_what_was_played_is_ticked_off(self, student):
        give(student, 3)
        groove, new = today_of(student, WEDNESDAY).lines
        logged(student, "4.6", WEDNESDAY, new.fill)
        assert [line.done for line in today_of(student, WEDNESDAY).lines] == [False, True]
        logged(student, "1", WEDNESDAY)
        assert today_of(student, WEDNESDAY).is_done
        assert groove.item.groove_alone

    def test_half_of_it_does_not_tick_it_off(self, student):
        fill = first_fill(give(student, 3))
        logged(student, 2, WEDNESDAY, fill)
        assert not any(line.done for line in today_of(student, WEDNESDAY).lines)

    def test_each_turn_is_ticked_off_by_minutes_of_its_own(self, student):
        fills = three_to_take_turns(student)

        def turns():
            return [line for line in today_of(student, WEDNESDAY).lines if line.fill == fills[0]]

        first, *_ = turns()
        logged(student, round(float(first.item.seconds) / 60, 1), WEDNESDAY, fills[0])
        done, *others = [line.done for line in turns()]
        assert done
        assert others
        assert not any(others)

    def test_what_was_removed_from_the_log_plans_nothing(self, student):
        fill = first_fill(give(student, 1))
        before = today_of(student, WEDNESDAY).plan
        logged(student, 5, due(-1), fill, tempo=120).remove()
        assert today_of(student, WEDNESDAY).plan == before

    def test_the_plan_stays_when_a_fill_is_mastered_in_the_middle_of_it(self, student):
        give(student, 3)
        plan = today_of(student, WEDNESDAY).plan
        mark_mastered(begun(today_of(student, WEDNESDAY))[0])
        assert today_of(student, WEDNESDAY).plan == plan

    def test_the_day_after_a_fill_was_mastered_it_is_played_cold(self, student):
        fill = first_fill(give(student, 1))
        mark_mastered(fill)
        parts = [line.item.part for line in today_of(student, due(1)).lines]
        assert PlanPart.CHECK in parts

    def test_minutes_of_the_day_are_summed(self, student):
        logged(student, 5, WEDNESDAY)
        logged(student, "2.5", WEDNESDAY)
        logged(student, 9, due(-1))
        assert float(today_of(student, WEDNESDAY).minutes) == 7.5

    def test_as_long_as_asked(self, student):
        give(student, 3)
        assert 590 < today_of(student, WEDNESDAY, 10).plan.seconds <= 600

    def test_the_teacher_sets_whether_fills_take_turns(self, student):
        three_to_take_turns(student)
        mixed = [line.fill.pk for line in today_of(student, WEDNESDAY).lines]
        student.mixing = student.Mixing.BLOCKED
        blocked = [line.fill.pk for line in today_of(student, WEDNESDAY).lines]
        assert len(mixed) > len(blocked)

    def test_each_fill_is_there_once_with_all_its_times(self, student):
        three_to_take_turns(student)
        today = today_of(student, WEDNESDAY)
        in_order = list(dict.fromkeys(line.fill for line in today.lines))
        assert len(in_order) < len(today.lines)
        assert [each.fill for each in today.each] == in_order
        for each in today.each:
            items = [line.item for line in today.lines if line.fill == each.fill]
            said = (each.main.tempo, each.main.groove_alone)
            alike = [item for item in items if (item.tempo, item.groove_alone) == said]
            assert each.times == sum(item.loops for item in alike)

    def test_of_what_a_fill_is_there_for_the_weightiest_is_said(self, student):
        three_to_take_turns(student)
        today = today_of(student, WEDNESDAY)
        (focus,) = {line.fill for line in today.lines if line.item.part is PlanPart.WORK}
        assert PlanPart.TURN in {line.item.part for line in today.lines if line.fill == focus}
        whys = {each.fill: each.why for each in today.each}
        assert whys.pop(focus) == "The one to work on"
        assert set(whys.values()) == {"Next in turn"}

    def test_four_queries(self, student, django_assert_num_queries):
        give(student, 7)
        with django_assert_num_queries(4):
            today_of(student, WEDNESDAY)


class TestBeside:
    def test_inside_there_is_one_before_and_one_after(self, student):
        first, second, third = give(student, 3).variations.order_by("position")
        assert beside(student, second) == (first, third)

    def test_at_the_ends_there_is_only_one(self, student):
        first, second = give(student, 2).variations.order_by("position")
        assert beside(student, first) == (None, second)
        assert beside(student, second) == (first, None)

    def test_mastered_ones_are_passed_over(self, student):
        first, second, third = give(student, 3).variations.order_by("position")
        mark_mastered(second)
        assert beside(student, first) == (None, third)

    def test_a_mastered_one_has_its_place_among_the_others(self, student):
        first, second, third = give(student, 3).variations.order_by("position")
        mark_mastered(second)
        assert beside(student, second) == (first, third)


def test_each_state_has_its_fills(student, teacher):
    new, practised, returned, mastered = give(student, 4).variations.order_by("position")
    logged(student, 5, WEDNESDAY, practised)
    mark_mastered(returned)
    take_back(returned, teacher)
    mark_mastered(mastered)
    assert by_state(list(fills_of(student))) == [
        (State.NEW, [new]),
        (State.PRACTISING, [practised]),
        (State.RETURNED, [returned]),
        (State.MASTERED, [mastered]),
        (State.HOLDS, []),
    ]


def test_of_the_mastered_ones_the_latest_comes_first(student):
    first, second = give(student, 2).variations.order_by("position")
    for hour, fill in enumerate((first, second), start=13):
        fill.record_step("mastered", WEDNESDAY, at=datetime(2026, 11, 25, hour, tzinfo=UTC))
    assert dict(by_state(list(fills_of(student))))[State.MASTERED] == [second, first]


def test_practice_on_a_fill_is_summed_without_what_was_removed(student):
    fill = first_fill(give(student))
    logged(student, 5, due(-3), fill)
    logged(student, "2.5", due(-1), fill)
    logged(student, 60, WEDNESDAY, fill).remove()
    found = AssignedVariation.objects.with_practice().get(pk=fill.pk)
    assert (found.times_logged, float(found.minutes_logged)) == (2, 7.5)
    assert found.last_practised == due(-1)
