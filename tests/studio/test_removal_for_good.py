"""What was removed is gone after its term, with what belongs to it; what others need stays."""

from datetime import timedelta

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db.models.signals import pre_delete
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assignments.models import AssignedVariation, Assignment, PracticeEntry, Take
from assignments.privacy.personal_data import PATHS
from rhythms.models import Ladder, LadderStep, RuleSet, SourceBar
from studio.models import Kit, SignInLink, Student
from studio.removal_for_good import delete_for_good, needed_by, removable_models
from studio.removed_things import RemovedThings
from studio.retention import LINK_REMEMBERED_FOR, LINK_UNUSED_FOR, REMOVED_FOR, REMOVED_TAKE_FOR
from tests.assignments.making import give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db
A_MINUTE = timedelta(minutes=1)


def removed(thing, ago=REMOVED_FOR + A_MINUTE):
    """Remove a thing, that long ago."""
    thing.remove()
    type(thing)._base_manager.filter(pk=thing.pk).update(removed_at=timezone.now() - ago)
    return thing


def is_there(thing) -> bool:
    return type(thing)._base_manager.filter(pk=thing.pk).exists()


class TestStudents:
    def test_all_that_is_about_them_goes_with_them(self, student, entry, take, classmate):
        SignInLink.issue(student)
        kept = give(classmate)
        removed(student)
        delete_for_good()
        assert not is_there(student)
        for name, path in PATHS.items():
            theirs = apps.get_model(name)._base_manager.filter(**{f"{path}": student.pk})
            assert theirs.count() == 0, name
        assert kept.variations.count() == 3

    def test_one_removed_lately_can_be_brought_back_with_everything(
        self, teacher_client, student, entry, take
    ):
        removed(student, REMOVED_FOR - A_MINUTE)
        delete_for_good()
        teacher_client.post(reverse("studio:student-restore", args=[student.pk]))
        assert Student.objects.kept().filter(pk=student.pk).exists()
        assert PracticeEntry.objects.filter(student=student).exists()
        assert Take.objects.filter(student=student).exists()

    def test_their_kit_goes_after_them(self, studio, student):
        kit = Kit.objects.create(studio=studio, name="Pad", surfaces=["snare"])
        Student.objects.filter(pk=student.pk).update(kit=kit)
        removed(student, REMOVED_FOR - A_MINUTE)
        removed(kit)
        delete_for_good()
        assert is_there(kit)
        Student.objects.update(removed_at=timezone.now() - REMOVED_FOR - A_MINUTE)
        delete_for_good()
        assert not is_there(kit)


class TestThings:
    @pytest.mark.parametrize(
        "make",
        [
            make_bar,
            make_rule_set,
            lambda studio: Ladder.objects.create(studio=studio, name="Ladder"),
            lambda studio: Kit.objects.create(studio=studio, name="Pad", surfaces=["snare"]),
            lambda studio: studio.teacher_takes.create(name="a.mid", key="0" * 64),
        ],
        ids=["bar", "rule set", "ladder", "kit", "own playing"],
    )
    def test_what_nobody_needs_goes_after_its_term_and_not_before(self, studio, make):
        thing = removed(make(studio), REMOVED_FOR - A_MINUTE)
        assert delete_for_good() == 0
        assert is_there(thing)
        type(thing)._base_manager.filter(pk=thing.pk).update(
            removed_at=timezone.now() - REMOVED_FOR - A_MINUTE
        )
        assert delete_for_good() == 1
        assert not is_there(thing)

    def test_what_is_kept_is_never_deleted(self, student, entry, take, bar, ladder):
        before = {model: model._base_manager.count() for model in removable_models()}
        assert delete_for_good() == 0
        assert before == {model: model._base_manager.count() for model in removable_models()}

    def test_a_bar_and_a_rule_set_stay_as_long_as_a_student_has_fills_of_them(
        self, teacher_client, assignment
    ):
        bar, rules = removed(assignment.source_bar), removed(assignment.rule_set)
        delete_for_good()
        page = reverse("assignments:student", args=[assignment.student_id])
        assert teacher_client.get(page).status_code == 200
        removed(assignment)
        delete_for_good()
        assert not is_there(bar)
        assert not is_there(rules)

    def test_a_fill_stays_as_long_as_the_log_has_practice_of_it(self, assignment, entry):
        fill = entry.variation
        other = assignment.variations.exclude(pk=fill.pk).first()
        removed(fill)
        removed(other)
        delete_for_good()
        entry.refresh_from_db()
        assert entry.variation == fill
        assert not is_there(other)

    def test_an_assignment_stays_as_long_as_the_log_has_practice_of_it(self, assignment, entry):
        removed(assignment)
        delete_for_good()
        assert is_there(assignment)
        removed(entry)
        delete_for_good()
        assert not is_there(assignment)

    def test_a_removed_take_goes_after_a_day(self, take):
        removed(take, REMOVED_TAKE_FOR - A_MINUTE)
        delete_for_good()
        assert is_there(take)
        Take.objects.update(removed_at=timezone.now() - REMOVED_TAKE_FOR - A_MINUTE)
        delete_for_good()
        assert not is_there(take)

    def test_a_step_goes_and_its_rule_set_stays(self, step):
        rules = step.rule_set
        removed(step)
        delete_for_good()
        assert not is_there(step)
        assert is_there(rules)

    @pytest.mark.django_db(transaction=True)
    def test_what_is_needed_again_while_it_is_deleted_stays_and_holds_up_nothing(
        self, studio, student, bar
    ):
        kit = Kit.objects.create(studio=studio, name="Pad", surfaces=["snare"])

        def plays_it_again(**_):
            Student.objects.filter(pk=student.pk).update(kit=kit)

        removed(kit)
        removed(bar)
        pre_delete.connect(plays_it_again, sender=Kit)
        try:
            delete_for_good()
        finally:
            pre_delete.disconnect(plays_it_again, sender=Kit)
        assert is_there(kit)
        assert not is_there(bar)

    def test_the_command_that_sweeps_does_it(self, bar):
        removed(bar)
        call_command("sweep")
        assert not is_there(bar)

    @pytest.mark.parametrize(
        ("model", "paths"),
        [
            (SourceBar, {"assignments"}),
            (RuleSet, {"assignments", "steps"}),
            (LadderStep, set()),
            (Kit, {"students"}),
            (AssignedVariation, {"entries", "takes"}),
            (Assignment, {"variations__entries", "variations__takes"}),
            (PracticeEntry, set()),
        ],
    )
    def test_what_keeps_a_thing_is_known(self, model, paths):
        assert set(needed_by(model)) == paths


class TestWhatThePagesSay:
    def test_the_page_that_removes_says_until_when_it_can_be_undone(self, teacher_client, student):
        page = teacher_client.get(reverse("studio:student-remove", args=[student.pk]))
        until = timezone.localdate(timezone.now() + REMOVED_FOR, student.studio.zone)
        assert f"until <strong>{until:%-d %B %Y}</strong>" in page.content.decode()

    def test_everything_that_can_be_removed_can_be_brought_back_from_one_page(
        self, teacher_client, assignment, take, bar, ladder, step, studio, rule_set
    ):
        own = studio.teacher_takes.create(name="a.mid", key="0" * 64)
        kit = Kit.objects.create(studio=studio, name="Pad", surfaces=["snare"])
        fill = assignment.variations.last()
        things = [take, fill, own, kit, bar, step]
        for thing in things:
            thing.remove()
        for _ in things:
            [*_, last] = RemovedThings(studio)[:]
            assert teacher_client.post(last.restore).status_code == 302
        assert RemovedThings(studio)[:] == []
        assert not any(
            type(thing)._base_manager.exclude(removed_at=None).exists() for thing in things
        )

    def test_a_student_is_brought_back_from_it(self, teacher_client, student):
        student.remove()
        page = teacher_client.get(reverse("studio:removed")).content.decode()
        restore = reverse("studio:student-restore", args=[student.pk])
        assert f'action="{restore}"' in page
        teacher_client.post(restore)
        assert restore not in teacher_client.get(reverse("studio:removed")).content.decode()

    def test_it_says_whose_a_fill_was(self, teacher_client, variation):
        variation.remove()
        page = teacher_client.get(reverse("studio:removed")).content.decode()
        assert f"Fill of {variation.assignment.student}" in page

    def test_another_studios_things_are_not_on_it(self, other_teacher_client, student):
        student.remove()
        page = other_teacher_client.get(reverse("studio:removed")).content.decode()
        assert student.nickname not in page

    def test_nothing_is_left_out_of_it_however_much_was_removed(self, teacher_client, studio):
        gone = [
            Kit(studio=studio, name=f"Gone {number}", removed_at=timezone.now())
            for number in range(201)
        ]
        Kit.objects.bulk_create(gone)
        page = teacher_client.get(reverse("studio:removed"), {"page": "5"}).context["page"]
        assert (page.paginator.count, len(page)) == (201, 1)

    def test_it_takes_as_many_queries_for_many_things_as_for_one(
        self, teacher_client, student, django_assert_max_num_queries
    ):
        for seed in range(4):
            for fill in give(student, 3, seed=seed).variations.all():
                fill.remove()
        with django_assert_max_num_queries(16):
            teacher_client.get(reverse("studio:removed"))

    def test_what_is_kept_about_a_student_has_its_terms(self, student_client):
        page = student_client.get(reverse("assignments:about-me")).content.decode()
        for words in ("after 30 days, a take after 1 day.", "nobody used it for 180 days"):
            assert words in page


class TestLinks:
    @pytest.fixture
    def secret(self, student):
        return SignInLink.issue(student)

    def unused_for(self, term):
        SignInLink.objects.update(created_at=timezone.now() - term, last_used_at=None)

    def page(self, secret):
        return Client().get(reverse("studio:enter", args=[secret]))

    def test_one_that_nobody_used_for_its_term_ends_and_says_what_to_do(self, secret):
        self.unused_for(LINK_UNUSED_FOR + A_MINUTE)
        page = self.page(secret)
        assert page.status_code == 410
        assert "Nobody used it for 180 days" in page.content.decode()
        assert "Ask your teacher for a new link" in page.content.decode()

    def test_it_signs_nobody_in(self, secret):
        self.unused_for(LINK_UNUSED_FOR + A_MINUTE)
        client = Client()
        client.post(reverse("studio:enter", args=[secret]))
        assert "sign_in_link" not in client.session

    def test_each_use_puts_its_end_off(self, secret):
        self.unused_for(LINK_UNUSED_FOR - A_MINUTE)
        assert self.page(secret).status_code == 200
        Client().post(reverse("studio:enter", args=[secret]))
        SignInLink.objects.update(created_at=timezone.now() - 3 * LINK_UNUSED_FOR)
        assert self.page(secret).status_code == 200

    def test_a_revoked_one_says_nothing_of_an_end(self, secret):
        self.unused_for(LINK_UNUSED_FOR + A_MINUTE)
        SignInLink.objects.get().revoke()
        assert self.page(secret).status_code == 404

    def test_the_teacher_sees_when_each_ends_and_that_one_ended(
        self, teacher_client, student, secret
    ):
        url = reverse("studio:links", args=[student.pk])
        ends = timezone.localdate(SignInLink.objects.get().ends_at, student.studio.zone)
        assert f'data-label="Ends">{ends:%-d %b %Y}' in teacher_client.get(url).content.decode()
        self.unused_for(LINK_UNUSED_FOR + A_MINUTE)
        assert f"1 link of {student} ended" in teacher_client.get(url).content.decode()

    def test_students_with_an_ended_link_need_another_one(self, teacher_client, secret):
        self.unused_for(LINK_UNUSED_FOR + A_MINUTE)
        assert Student.objects.with_working_links().get().working_links == 0

    def test_one_that_ended_long_ago_is_forgotten(self, secret):
        self.unused_for(LINK_UNUSED_FOR + LINK_REMEMBERED_FOR - A_MINUTE)
        delete_for_good()
        assert SignInLink.objects.count() == 1
        self.unused_for(LINK_UNUSED_FOR + LINK_REMEMBERED_FOR + A_MINUTE)
        delete_for_good()
        assert SignInLink.objects.count() == 0
