"""Drawing fills and handing them out."""

import pytest

from assignments.assigning.assign import (
    AlreadyTheirsError,
    AssignmentSpec,
    assign_fills,
    held_by,
)
from assignments.assigning.fills_had import ranks_had
from assignments.models import AssignedVariation, Assignment
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.errors import RankError
from rhythms.engine.picking import Held
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
        drawn = [one.source.get("drawn") for one in Rendering.objects.all()]
        assert sorted(drawn, key=str) == [None, "small"]

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
        spaces = {student: space_for(bar, rule_set, student)}
        return ranks_had(spaces, STRAIGHT)[student].theirs

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


def test_what_a_student_holds_is_what_they_mastered_at_its_tempo(
    student, classmate, django_assert_num_queries
):
    given = give(student, 3)
    newest, older, _ = given.variations.all()
    AssignedVariation.objects.filter(pk=newest.pk).update(mastered_at="2026-03-02T00:00Z")
    AssignedVariation.objects.filter(pk=older.pk).update(mastered_at="2026-03-01T00:00Z")
    with django_assert_num_queries(1):
        held = held_by([student, classmate])
    assert held[classmate] == ()
    assert held[student] == (
        Held(newest.as_fill, given.tempo),
        Held(older.as_fill, given.tempo),
    )


def test_what_a_student_holds_swung_is_held_in_that_feel(student):
    swung = first_fill(give(student, 1, feel=Feel(67)))
    AssignedVariation.objects.filter(pk=swung.pk).update(mastered_at="2026-03-02T00:00Z")
    assert held_by([student]) == {student: (Held(swung.as_fill, 80, Feel(67)),)}


def test_an_assigned_fill_is_told_against_what_the_student_holds(teacher, student, work):
    assert "so far" not in give(student, 1).variations.get().effort
    AssignedVariation.objects.update(mastered_at="2026-03-01T00:00Z")
    (given,) = assign_fills(teacher, work, {student: (5,)})
    assert given.variations.get().effort.endswith("than so far")
