"""Files made for a person are theirs: one of each, gone with them, made again for them alone."""

import os
import re
import time
from pathlib import Path

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from rhythms.models import Rendering
from rhythms.models.rendering import FOLDER
from rhythms.renderings import rendering_maker
from rhythms.renderings.download_response import ticket_of
from rhythms.renderings.made_files import discard_strays
from studio.accounts.throttling import FilesByStudent, FilesByTeacher
from studio.whole_files import WholeFileStorage
from tests.assignments.pages import address
from tests.cast import add_student

pytestmark = pytest.mark.django_db(transaction=True)
QUERY = "?paper=a4&counts=on"
WEEK = "?paper=a4&first_day=2026-11-25&how_many=12"


def content(response) -> bytes:
    return b"".join(response.streaming_content) if response.streaming else response.content


def printed(client, assignment) -> bytes:
    sheet = content(client.get(address("assignment-pdf", assignment) + QUERY))
    assert sheet.startswith(b"%PDF-")
    return sheet


@pytest.fixture
def on_disk(settings):
    """The files of a sort that are on the disk now."""
    folder = Path(settings.MEDIA_ROOT)
    return lambda ending="pdf": sorted(folder.rglob(f"*.{ending}"))


class TestRemaking:
    def test_leaves_one_file(self, teacher_client, student_client, assignment, on_disk):
        printed(teacher_client, assignment)
        made = Rendering.objects.get(format="pdf")
        state = reverse("rhythms:file-state", args=[ticket_of(made, "a.pdf", assignment.student)])
        for _ in range(3):
            assert student_client.post(state).status_code == 200
        assert len(on_disk()) == 1

    def test_with_other_words_takes_the_place_of_what_was_printed_before(
        self, teacher_client, assignment, on_disk
    ):
        printed(teacher_client, assignment)
        [before] = on_disk()
        assignment.note = "Slowly."
        assignment.save()
        printed(teacher_client, assignment)
        [after] = on_disk()
        assert after != before

    def test_at_another_tempo_leaves_one_audio_file(self, student_client, assignment, on_disk):
        variation = assignment.variations.first()
        for tempo in (240, 220):
            assignment.tempo = tempo
            assignment.save()
            content(student_client.get(address("block-audio", variation)))
        assert len(on_disk("mp3")) == 1

    def test_on_other_paper_leaves_both(self, teacher_client, assignment, on_disk):
        printed(teacher_client, assignment)
        url = address("assignment-pdf", assignment)
        content(teacher_client.get(f"{url}?paper=us-letter&counts=on"))
        assert len(on_disk()) == 2


class TestOwners:
    def test_two_students_of_one_nickname_have_a_file_each(
        self, teacher_client, other_teacher_client, student, other_studio, on_disk
    ):
        namesake = add_student(other_studio, student.nickname)
        for client, whose in ((teacher_client, student), (other_teacher_client, namesake)):
            content(client.get(address("student-week-pdf", whose) + WEEK))
        assert len(on_disk()) == 2
        assert set(Rendering.objects.filter(format="pdf").values_list("student", flat=True)) == {
            student.pk,
            namesake.pk,
        }

    def test_a_ladder_printed_for_a_student_is_the_students(self, teacher_client, student, bar):
        ladder = student.studio.ladders.get()
        query = f"?ladder={ladder.pk}&student={student.pk}&each=1&tempo=80&block_bars=4&paper=a4"
        url = reverse("rhythms:bar-pdf", args=[bar.pk])
        assert content(teacher_client.get(url + query)).startswith(b"%PDF-")
        assert Rendering.objects.get(format="pdf").student == student

    def test_an_engraving_is_nobodys(self, assignment, classmate):
        engravings = Rendering.objects.filter(format="svg")
        assert engravings.count() >= 3
        assert not engravings.exclude(student=None, studio=None).exists()


class TestRemoval:
    def test_of_a_student_takes_what_was_made_for_them(
        self, teacher_client, student, assignment, on_disk
    ):
        printed(teacher_client, assignment)
        engravings = on_disk("svg")
        teacher_client.post(reverse("studio:student-remove", args=[student.pk]))
        assert on_disk() == []
        assert not Rendering.objects.filter(format="pdf").exists()
        assert on_disk("svg") == engravings

    def test_of_a_student_leaves_what_was_made_for_another(
        self, teacher_client, student, classmate, on_disk
    ):
        for whose in (student, classmate):
            content(teacher_client.get(address("student-week-pdf", whose) + WEEK))
        teacher_client.post(reverse("studio:student-remove", args=[student.pk]))
        assert Rendering.objects.get(format="pdf").student == classmate
        assert len(on_disk()) == 1

    def test_of_an_assignment_takes_its_sheet(self, teacher_client, assignment, on_disk):
        printed(teacher_client, assignment)
        teacher_client.post(address("assignment-remove", assignment))
        assert on_disk() == []

    def test_a_student_brought_back_prints_again(self, teacher_client, student, assignment):
        before = printed(teacher_client, assignment)
        teacher_client.post(reverse("studio:student-remove", args=[student.pk]))
        teacher_client.post(reverse("studio:student-restore", args=[student.pk]))
        assert printed(teacher_client, assignment) == before

    def test_for_good_takes_the_files_from_the_disk(
        self, teacher_client, student, assignment, on_disk
    ):
        printed(teacher_client, assignment)
        student.delete()
        assert on_disk() == []

    def test_of_a_studio_takes_the_sheets_of_its_ladders(
        self, teacher_client, studio, bar, ladder, on_disk
    ):
        query = f"?ladder={ladder.pk}&each=1&tempo=80&block_bars=4&paper=a4"
        content(teacher_client.get(reverse("rhythms:bar-pdf", args=[bar.pk]) + query))
        assert len(on_disk()) == 1
        studio.files.all().delete()
        assert on_disk() == []

    def test_while_it_is_made_leaves_no_file(
        self, teacher_client, student, assignment, on_disk, monkeypatch
    ):
        draw = rendering_maker.draw

        def removed_meanwhile(rendering):
            student.remove()
            return draw(rendering)

        monkeypatch.setattr(rendering_maker, "draw", removed_meanwhile)
        made = teacher_client.get(address("assignment-pdf", assignment) + QUERY)
        assert made.status_code == 404
        assert student.removed_at is not None
        assert on_disk() == []


class TestSweeping:
    @pytest.fixture
    def sheet(self, teacher_client, assignment, on_disk):
        printed(teacher_client, assignment)
        [path] = on_disk()
        return path

    def aged(self, path, days):
        moment = time.time() - days * 24 * 3600
        os.utime(path, (moment, moment))

    def test_a_file_that_no_row_names_goes_after_a_day(self, sheet, on_disk):
        stray = sheet.with_name(f"{sheet.stem}_abc.pdf")
        stray.write_bytes(sheet.read_bytes())
        assert discard_strays() == 0
        self.aged(stray, 1.1)
        self.aged(sheet, 1.1)
        call_command("sweep")
        assert on_disk() == [sheet]

    def test_what_is_being_made_again_is_no_stray(self, sheet, on_disk):
        Rendering.objects.filter(format="pdf").update(state="waiting", file="")
        self.aged(sheet, 2)
        assert discard_strays() == 0

    def test_without_any_file_there_is_nothing_to_sweep(self, db):
        assert discard_strays() == 0

    def test_files_of_a_student_removed_by_other_ways_are_swept(self, sheet, student, on_disk):
        type(student).objects.filter(pk=student.pk).update(removed_at=timezone.now())
        call_command("sweep")
        assert on_disk() == []


class TestRate:
    @pytest.fixture(autouse=True)
    def _two_an_hour(self, monkeypatch):
        monkeypatch.setattr(FilesByStudent, "rate", "2/hour", raising=False)
        monkeypatch.setattr(FilesByTeacher, "rate", "2/hour", raising=False)

    def weeks(self, client, days):
        url = address("my-week-pdf")
        answers = [client.get(f"{url}?paper=a4&first_day=2026-11-{day}&how_many=2") for day in days]
        return [(answer, content(answer).decode(errors="replace")) for answer in answers]

    def test_who_has_many_made_is_told_when_the_next_can_be(
        self, student_client, assignment, on_disk
    ):
        *_, (last, words) = self.weeks(student_client, (11, 12, 13))
        assert last.status_code == 429
        assert "The next one can be made in 60 minutes." in words
        assert int(last["Retry-After"]) == 3600
        assert len(on_disk()) == 2

    def test_what_is_there_can_be_opened_as_often_as_one_likes(self, student_client, assignment):
        answers = self.weeks(student_client, [11] * 5)
        assert {answer.status_code for answer, _ in answers} == {200}

    def test_one_persons_files_are_not_counted_for_another(
        self, student_client, teacher_client, student, assignment
    ):
        self.weeks(student_client, (11, 12, 13))
        answer = teacher_client.get(address("student-week-pdf", student) + WEEK)
        assert content(answer).startswith(b"%PDF-")

    def test_having_one_made_anew_counts_too(self, student_client, assignment, monkeypatch):
        with monkeypatch.context() as broken:
            broken.setattr(rendering_maker, "draw", lambda _: 1 / 0)
            [(_, page)] = self.weeks(student_client, (11,))
            state = re.search(r'hx-post="([^"]+)"', page)[1]
            codes = [
                student_client.post(state, headers={"HX-Request": "true"}).status_code
                for _ in range(3)
            ]
        assert codes == [200, 429, 429]


def test_a_ticket_for_one_owner_does_not_open_the_file_of_another(
    teacher_client, student, classmate, assignment
):
    printed(teacher_client, assignment)
    made = Rendering.objects.get(format="pdf")
    wrong = reverse("rhythms:file", args=[ticket_of(made, "Line 4.pdf", classmate)])
    right = reverse("rhythms:file", args=[ticket_of(made, "Line 4.pdf", student)])
    assert teacher_client.get(wrong).status_code == 404
    assert content(teacher_client.get(right)).startswith(b"%PDF-")


class TestAFileThatCannotBeDeleted:
    """As where another user of the machine made it."""

    @pytest.fixture
    def undeletable(self, monkeypatch):
        def refuse(_self, name):
            raise PermissionError(name)

        monkeypatch.setattr(WholeFileStorage, "delete", refuse)

    def test_breaks_no_page(self, teacher_client, assignment, student, on_disk, undeletable):
        printed(teacher_client, assignment)
        answer = teacher_client.post(reverse("studio:student-remove", args=[student.pk]))
        assert answer.status_code == 302
        student.refresh_from_db()
        assert student.removed_at is not None
        assert len(on_disk()) == 1

    def test_stands_in_no_other_strays_way(self, settings, undeletable, caplog):
        for key in ("aa" * 32, "bb" * 32):
            stray = Path(settings.MEDIA_ROOT) / FOLDER / key[:2] / f"{key}.pdf"
            stray.parent.mkdir(parents=True)
            stray.write_bytes(b"%PDF-")
            os.utime(stray, (0, 0))
        assert discard_strays() == 0
        assert caplog.text.count("could not be deleted") == 2
