"""The grooves that a student works with: chosen by the teacher, offered first, changed to."""

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from assignments.blocks import playable
from assignments.models import StudentGroove
from assignments.privacy.personal_data import summary
from assignments.student_grooves import grooves_of, played_by, set_grooves
from rhythms.engine.playback.groove_library import patterns
from rhythms.grooves.groove_list import Wish, wanted_grooves
from tests.assignments.making import first_fill, give, make_groove

pytestmark = pytest.mark.django_db


def chosen(student) -> list[str]:
    return [listed.pattern.name for listed in grooves_of([student.pk])[student.pk]]


@pytest.fixture
def choose(student):
    """Have the student work with these grooves, by name."""

    def choose(*names: str) -> None:
        known = {one.pattern.name: one for one in wanted_grooves(student.studio, Wish())}
        set_grooves(student, [known[name] for name in names])

    return choose


@pytest.fixture
def address(student):
    return reverse("assignments:student-grooves", args=[student.pk])


class TestTheList:
    def test_it_keeps_the_order_and_holds_library_and_own(self, student, choose):
        make_groove(student.studio)
        choose("samba", "Walking", "rock")
        assert chosen(student) == ["samba", "Walking", "rock"]

    def test_chosen_anew_it_holds_what_is_chosen_now(self, student, choose):
        choose("samba", "rock")
        choose("rock", "funk")
        assert chosen(student) == ["rock", "funk"]

    def test_what_is_removed_is_not_offered_until_it_is_back(self, student, choose):
        own = make_groove(student.studio)
        choose("rock", "Walking")
        own.remove()
        assert chosen(student) == ["rock"]
        own.restore()
        assert chosen(student) == ["rock", "Walking"]

    def test_what_the_program_no_longer_has_is_left_out(self, student, choose):
        choose("rock")
        student.grooves.update(name="polka 9")
        assert chosen(student) == []

    def test_a_former_name_still_means_its_groove(self, student):
        student.grooves.create(name="6/8")
        assert chosen(student) == ["6/8 in eighths"]

    def test_many_students_are_asked_for_at_once(
        self, student, classmate, choose, django_assert_num_queries
    ):
        choose("rock")
        classmate.grooves.create(name="samba")
        with django_assert_num_queries(1):
            found = grooves_of([student.pk, classmate.pk])
        names = {pk: [one.pattern.name for one in grooves] for pk, grooves in found.items()}
        assert names == {student.pk: ["rock"], classmate.pk: ["samba"]}

    @pytest.mark.parametrize("twice", [{"name": "rock"}, {"groove": True}, {}, {"both": True}])
    def test_the_database_keeps_each_once_and_never_both_or_neither(self, student, twice):
        own = make_groove(student.studio)
        row = {"name": twice["name"]} if "name" in twice else {}
        row |= {"groove": own} if "groove" in twice else {}
        row |= {"name": "rock", "groove": own} if "both" in twice else {}
        if "name" in twice or "groove" in twice:
            student.grooves.create(**row)
        with pytest.raises(IntegrityError), transaction.atomic():
            StudentGroove.objects.create(student=student, **row)

    def test_the_student_is_told_that_it_is_kept(self, student, choose):
        choose("rock", "funk")
        counts = {line.words: line.count for line in summary(student)}
        assert counts["Grooves that you work with"] == 2


class TestThePage:
    def test_it_has_a_box_for_every_groove_and_ticks_those_chosen(
        self, teacher_client, student, choose, address
    ):
        make_groove(student.studio)
        choose("samba", "Walking")
        page = teacher_client.get(address)
        boxes = [box for _, group in page.context["form"].by_meter for box in group]
        assert len(boxes) == len(patterns()) + 1
        ticked = {listed.pattern.name for _, listed, ticked in boxes if ticked}
        assert ticked == {"samba", "Walking"}
        assert page.content.decode().count(" checked") == 2

    def test_the_choice_is_kept_and_shown_on_the_students_page(
        self, teacher_client, student, address
    ):
        own = make_groove(student.studio)
        sent = {"grooves": ["rock", f"own {own.pk}"]}
        page = teacher_client.post(address, sent, follow=True).content.decode()
        assert set(chosen(student)) == {"rock", "Walking"}
        assert "Mira works with 2 grooves." in page
        assert reverse("rhythms:groove", args=[own.pk]) in page

    def test_none_can_be_chosen(self, teacher_client, student, choose, address):
        choose("rock")
        page = teacher_client.post(address, {}, follow=True).content.decode()
        assert chosen(student) == []
        assert "None chosen" in page

    @pytest.mark.parametrize(
        "sent", ["polka 9", "own 987654321", "own x", "\x00", "own " + "9" * 99]
    )
    def test_what_is_not_there_is_refused_and_nothing_is_lost(
        self, teacher_client, student, choose, address, sent
    ):
        choose("samba")
        page = teacher_client.post(address, {"grooves": ["rock", sent]})
        assert "One of these grooves is no longer there" in page.content.decode()
        assert chosen(student) == ["samba"]
        assert page.content.decode().count(" checked") == 1

    def test_another_studios_groove_cannot_be_chosen(self, teacher_client, other_studio, address):
        theirs = make_groove(other_studio)
        page = teacher_client.post(address, {"grooves": [f"own {theirs.pk}"]})
        assert "no longer there" in page.content.decode()

    def test_it_takes_few_questions(self, teacher_client, address, django_assert_num_queries):
        teacher_client.get(address)
        # Session, teacher, studio; student, grooves of the studio, those of the student.
        with django_assert_num_queries(6):
            teacher_client.get(address)


class TestThePlayer:
    def test_it_offers_the_assigned_groove_and_the_students_in_its_meter(self, student, choose):
        make_groove(student.studio)
        choose("samba", "Walking", "disco")
        data = playable(first_fill(give(student)), played_by(student))
        assert list(data["grooves"]) == ["rock", "Walking", "disco"]

    def test_where_none_fits_the_usual_ones_are_offered(self, student, choose):
        choose("samba")
        data = playable(first_fill(give(student)), played_by(student))
        assert list(data["grooves"])[:2] == ["rock", "funk"]

    def test_the_fills_page_and_the_stage_have_them(self, student_client, student, choose):
        choose("disco")
        fill = first_fill(give(student))
        page = student_client.get(reverse("assignments:fill", args=[fill.pk]))
        assert list(page.context["playable"]["grooves"]) == ["rock", "disco"]
        session = student_client.get(reverse("assignments:today")).context["stage"].session
        blocks = session["blocks"].values()
        assert {tuple(block["grooves"]) for block in blocks} == {("rock", "disco")}


class TestTheAssignPage:
    def groups(self, response):
        return {label: [value for value, _ in group] for label, group in _groups(response)}

    def test_those_of_the_students_chosen_stand_first(
        self, teacher_client, student, classmate, choose
    ):
        own = make_groove(student.studio)
        choose("samba", "Walking")
        classmate.grooves.create(name="train")
        page = teacher_client.get(
            reverse("assignments:assign"), {"students": [student.pk, classmate.pk]}
        )
        groups = self.groups(page)
        assert next(iter(groups)) == "What they work with"
        assert groups["What they work with"] == ["train", "samba", f"own {own.pk}"]
        assert "samba" not in groups["In 2/4"]
        assert "Your grooves" not in groups

    def test_without_students_the_studios_own_stand_first(self, teacher_client, student):
        own = make_groove(student.studio)
        groups = self.groups(teacher_client.get(reverse("assignments:assign")))
        assert groups["Your grooves"] == [f"own {own.pk}"]
        assert next(iter(groups)) == "Your grooves"

    def test_they_come_with_the_students_while_the_page_is_filled_in(
        self, teacher_client, student, choose
    ):
        choose("samba")
        page = teacher_client.post(
            reverse("assignments:draw"), {"students": [student.pk]}, headers={"HX-Request": "true"}
        )
        html = page.content.decode()
        assert '<div class="field" id="id_groove_field" hx-swap-oob="true">' in html
        assert html.index('label="What they work with"') < html.index('label="In 4/4"')

    def test_another_studios_student_brings_none(self, teacher_client, other_student):
        other_student.grooves.create(name="samba")
        page = teacher_client.get(reverse("assignments:assign"), {"students": [other_student.pk]})
        assert "What they work with" not in self.groups(page)

    @pytest.mark.parametrize("nonsense", ["x", "-1", "9" * 400])
    def test_whatever_stands_for_a_student_is_answered(self, teacher_client, nonsense):
        page = teacher_client.get(reverse("assignments:assign"), {"students": [nonsense]})
        assert page.status_code == 200


def _groups(response):
    choices = response.context["form"].fields["groove"].choices
    return [(label, group) for label, group in choices if isinstance(group, list)]
