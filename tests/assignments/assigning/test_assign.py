"""Drawing fills and handing them out."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.assigning.assign import (
    AlreadyTheirsError,
    AssignmentSpec,
    assign_fills,
    draw,
    ranks_had,
)
from assignments.models import AssignedVariation, Assignment
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.errors import RankError
from rhythms.fill_spaces import space_for
from rhythms.models import Rendering
from tests import cast
from tests.assignments.making import (
    ALL_ON_SNARE,
    COUNTS,
    EIGHTHS_STAY,
    PARADIDDLE,
    first_fill,
    give,
    make_bar,
    make_rule_set,
)


def space_of_size(wanted: int) -> FillSpace:
    """A bar of one note on a kit of so many surfaces, or the large one of the examples."""
    kit = Kit.of(("snare", "high tom", "mid tom", "floor tom", "ride", "crash")[:wanted])
    return FillSpace(Bar.from_counts("1 - - -"), RuleSet(()), kit)


LARGE = FillSpace(Bar.from_counts(COUNTS), RuleSet.from_json(EIGHTHS_STAY), Kit.standard())


class TestDraw:
    def test_gives_as_many_different_fills_as_asked(self):
        assert len(set(draw(LARGE, 24, seed=5))) == 24

    def test_the_same_seed_gives_the_same_draw(self):
        assert draw(LARGE, 8, seed=5) == draw(LARGE, 8, seed=5)

    def test_another_seed_gives_another_draw(self):
        assert draw(LARGE, 8, seed=5) != draw(LARGE, 8, seed=6)

    def test_asking_for_more_only_adds(self):
        assert draw(LARGE, 24, seed=5)[:8] == draw(LARGE, 8, seed=5)

    def test_what_is_kept_comes_first(self):
        assert draw(LARGE, 3, seed=5, keep=(7, 2))[:2] == (7, 2)

    def test_where_too_few_are_left_all_are_given(self):
        assert sorted(draw(space_of_size(6), 24, seed=5, leave_out=(2, 4))) == [0, 1, 3, 5]

    def test_numbers_beyond_the_space_leave_nothing_out(self):
        assert sorted(draw(space_of_size(3), 24, seed=5, leave_out=(3, 99))) == [0, 1, 2]

    def test_an_empty_space_gives_nothing(self):
        rules = [{"rule": "placement", "surfaces": ["cowbell"]}]
        empty = FillSpace(Bar.from_counts(COUNTS), RuleSet.from_json(rules), Kit.of(["snare"]))
        assert draw(empty, 3, seed=5) == ()

    def test_all_orders_are_equally_likely(self):
        """Chi-squared over the 120 ordered draws of 3 out of 6; 0.999 quantile for 119 degrees
        of freedom is 174 (Wilson-Hilferty approximation). Seeds are fixed, so is the outcome."""
        times = 6000
        drawn = Counter(draw(space_of_size(6), 3, seed) for seed in range(times))
        expected = times / 120
        assert len(drawn) == 120
        assert sum((n - expected) ** 2 / expected for n in drawn.values()) < 174

    @given(
        seed=st.integers(),
        n=st.integers(min_value=0, max_value=8),
        left_out=st.sets(st.integers(min_value=0, max_value=7)),
    )
    def test_draws_only_what_is_there_and_not_left_out(self, seed, n, left_out):
        drawn = draw(space_of_size(6), n, seed, leave_out=left_out)
        assert len(set(drawn)) == len(drawn) == min(n, len(set(range(6)) - left_out))
        assert set(drawn) <= set(range(6)) - left_out


pytest_db = pytest.mark.django_db


@pytest.fixture
def work(studio):
    return AssignmentSpec(make_bar(studio), make_rule_set(studio), tempo=88)


@pytest_db
class TestAssign:
    def test_each_student_gets_their_own_fills(self, teacher, work, student, classmate):
        assign_fills(teacher, work, {student: (3, 1), classmate: (9,)})
        assert ranks_of(student) == [3, 1]
        assert ranks_of(classmate) == [9]

    def test_a_variation_holds_the_fill_of_its_number(self, teacher, work, student):
        assign_fills(teacher, work, {student: (1_204_376,)})
        variation = AssignedVariation.objects.get()
        assert variation.as_fill == LARGE.fill(1_204_376)

    def test_a_variation_knows_the_size_of_its_space(self, student):
        assert first_fill(give(student)).space_size == 8**8

    def test_numbers_are_shown_from_1(self, teacher, work, student):
        assign_fills(teacher, work, {student: (0,)})
        assert AssignedVariation.objects.get().number == 1

    @pytest.mark.parametrize("ranks", [(4, 5), (5, 4)])
    def test_a_fill_that_the_student_has_is_refused(self, teacher, work, student, ranks):
        assign_fills(teacher, work, {student: (3, 4)})
        with pytest.raises(AlreadyTheirsError) as refusal:
            assign_fills(teacher, work, {student: ranks})
        assert refusal.value.ranks == {4}

    def test_it_is_all_or_nothing(self, teacher, work, student, classmate):
        with pytest.raises(RankError):
            assign_fills(teacher, work, {student: (1,), classmate: (8**8,)})
        assert not Assignment.objects.exists()

    def test_later_edits_of_the_library_change_nothing(self, teacher, work, student):
        (assignment,) = assign_fills(teacher, work, {student: (1,)})
        work.source_bar.name = work.rule_set.name = "Renamed"
        work.rule_set.rules = ALL_ON_SNARE
        work.source_bar.save()
        work.rule_set.save()
        assignment.refresh_from_db()
        assert str(assignment) == "Line 4, Eighths stay"
        assert assignment.sentences == ["Eighths go on the snare."]

    def test_a_left_handed_student_leads_with_the_left(self, studio):
        lefty = cast.add_student(studio, "Tom", handedness="left")
        give(lefty, 1, rule_set=make_rule_set(studio, PARADIDDLE, "Paradiddle"))
        strokes = AssignedVariation.objects.get().as_fill.strokes
        sixteenths = [stroke.limb for stroke in strokes[2:6]]
        assert sixteenths == ["L", "R", "L", "L"]

    def test_engravings_are_made_on_commit(
        self, teacher, work, student, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            assign_fills(teacher, work, {student: (1, 2)})
        made = Rendering.objects.filter(variations__isnull=False, state=Rendering.State.DONE)
        assert made.count() == 2

    def test_two_students_share_the_engraving_of_one_fill(self, teacher, work, student, classmate):
        assign_fills(teacher, work, {student: (5,), classmate: (5,)})
        assert Rendering.objects.count() == 1

    def test_takes_as_many_queries_for_24_fills_as_for_2(
        self, teacher, work, student, classmate, django_assert_max_num_queries
    ):
        with django_assert_max_num_queries(50) as for_2:
            assign_fills(teacher, work, {student: range(2)})
        with django_assert_max_num_queries(len(for_2)):
            assign_fills(teacher, work, {classmate: range(100, 124)})


@pytest_db
class TestRanksHad:
    def had(self, student, bar, rule_set):
        return ranks_had({student: space_for(bar, rule_set, student)})[student]

    def test_finds_what_the_student_has(self, teacher, work, student):
        assign_fills(teacher, work, {student: (3, 4)})
        assert self.had(student, work.source_bar, work.rule_set) == {3, 4}

    def test_finds_it_under_another_rule_set_by_what_it_is(self, teacher, work, student):
        on_snare = make_rule_set(student.studio, ALL_ON_SNARE, "Snare")
        assign_fills(teacher, AssignmentSpec(work.source_bar, on_snare, 80), {student: (0,)})
        snare_only = Fill.from_json(AssignedVariation.objects.get().fill)
        assert self.had(student, work.source_bar, work.rule_set) == {LARGE.rank(snare_only)}

    def test_finds_it_in_a_copy_of_the_bar(self, teacher, work, student):
        assign_fills(teacher, work, {student: (3,)})
        copy = make_bar(student.studio, name="Line 4 again")
        assert self.had(student, copy, work.rule_set) == {3}

    def test_leaves_out_fills_of_other_bars(self, work, student):
        give(student, bar=make_bar(student.studio, "1 2 3 4", "Four in a row"))
        assert self.had(student, work.source_bar, work.rule_set) == set()

    def test_leaves_out_what_was_removed(self, teacher, work, student):
        (assignment,) = assign_fills(teacher, work, {student: (3, 4)})
        first_fill(assignment).remove()
        assert self.had(student, work.source_bar, work.rule_set) == {4}

    def test_leaves_out_what_a_classmate_has(self, teacher, work, student, classmate):
        assign_fills(teacher, work, {classmate: (3,)})
        assert self.had(student, work.source_bar, work.rule_set) == set()


def ranks_of(student) -> list[int]:
    mine = AssignedVariation.objects.filter(assignment__student=student)
    return list(mine.order_by("position").values_list("rank", flat=True))
