"""The demo, filled once for all tests of this file.

On SQLite the rows are those that its own command has filled, on PostgreSQL it is filled anew.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection, transaction
from django.test import Client, TestCase, override_settings
from django.urls import reverse

from assignments.assigning.assign import engravings_of
from assignments.comfort.comfort_zones import zone_in
from assignments.comfort.studio_comparison import compare_students
from assignments.comfort.way_out import whether_it_worked
from assignments.days import today_in
from assignments.demo import scenario
from assignments.models import AssignedVariation, Assignment, KeptZone, PracticeEntry, Take
from rhythms import engine
from rhythms.engine.fills.hands import StickingStyle
from rhythms.engine.fills.playability import top_tempo
from rhythms.fill_spaces import space_for
from rhythms.models import Rendering
from studio.models import Kit, SignInLink, Student, Studio, Teacher
from tests.assignments.comfort_making import fills_in

KEPT = (Assignment, AssignedVariation, PracticeEntry, Take)
COUNTED = (Teacher, Studio, Kit, Student, Rendering, *KEPT)


def run_demo() -> str:
    output = StringIO()
    with override_settings(DEBUG=True), TestCase.captureOnCommitCallbacks(execute=True):
        call_command("demo", no_serve=True, stdout=output)
    return output.getvalue()


@contextmanager
def undone() -> Iterator[None]:
    """Take everything back at the end."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@contextmanager
def copied(served) -> Iterator[dict]:
    """The rows of the demo that is being served: of every table that is empty here."""
    with connection.cursor() as cursor:
        cursor.execute("ATTACH DATABASE %s AS served", [str(served.database)])
    with undone(), connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT EXISTS (SELECT * FROM main."{table}")')
            if not cursor.fetchone()[0]:
                cursor.execute(f'INSERT INTO main."{table}" SELECT * FROM served."{table}"')
        yield {"output": served.output, "media": served.media}
    with connection.cursor() as cursor:
        cursor.execute("DETACH DATABASE served")


@contextmanager
def filled_here(media: Path) -> Iterator[dict]:
    """A demo in the tests' own database."""
    with undone():
        with override_settings(MEDIA_ROOT=media):
            output = run_demo()
        yield {"output": output, "media": media}


@pytest.fixture(scope="module")
def filled(request, django_db_setup, django_db_blocker, tmp_path_factory):
    """What the first run printed; every test starts from there and is undone by itself."""
    with django_db_blocker.unblock():
        if connection.vendor == "sqlite":
            there = copied(request.getfixturevalue("served"))
        else:
            there = filled_here(tmp_path_factory.mktemp("demo") / "media")
        with there as filled:
            yield filled


@pytest.fixture
def demo(filled, db, settings):
    settings.MEDIA_ROOT = filled["media"]
    # Its teacher's password was kept as a running site keeps it.
    settings.PASSWORD_HASHERS = [
        *settings.PASSWORD_HASHERS,
        "django.contrib.auth.hashers.PBKDF2PasswordHasher",
    ]
    return filled


@pytest.fixture
def demo_studio(demo):
    return Studio.objects.get(name=scenario.STUDIO)


def minutes_of(nickname):
    return sum(entry.minutes for entry in PracticeEntry.objects.filter(student__nickname=nickname))


def links_in(output: str) -> list[str]:
    return re.findall(r"http://127\.0\.0\.1:\d+(/enter/\S+)", output)


def test_there_are_at_least_eight_students_on_different_kits(demo_studio):
    students = demo_studio.students.all()
    assert len(students) >= 8
    assert len({student.kit for student in students}) >= 4


def test_some_students_are_left_handed(demo_studio):
    assert demo_studio.students.filter(handedness="left").count() >= 2


def test_one_student_has_nothing_but_a_pad(demo_studio):
    assert demo_studio.students.filter(kit__surfaces=["snare"]).exists()


def test_one_student_has_fills_and_never_practised(demo):
    assert AssignedVariation.objects.filter(assignment__student__nickname="Bo").exists()
    assert minutes_of("Bo") == 0


def test_one_student_always_played_the_same_two_fills(demo):
    entries = PracticeEntry.objects.filter(student__nickname="Noor")
    assert entries.count() > 50
    assert entries.values("variation").distinct().count() == 2


def test_the_star_practised_most(demo_studio):
    most = max(demo_studio.students.all(), key=lambda student: minutes_of(student.nickname))
    assert most.nickname == "Ilja"


def test_the_log_reaches_back_twelve_weeks_and_up_to_yesterday_at_least(demo_studio):
    today = today_in(demo_studio)
    days = PracticeEntry.objects.values_list("day", flat=True)
    assert timedelta(weeks=10) < today - min(days) <= timedelta(weeks=13)
    assert timedelta() <= today - max(days) <= timedelta(days=1)


def test_what_was_given_and_mastered_lies_back_in_time(demo_studio):
    today = today_in(demo_studio)
    given = {moment.date() for moment in Assignment.objects.values_list("created_at", flat=True)}
    mastered = AssignedVariation.objects.filter(mastered_at__isnull=False)
    assert max(given) < today
    assert len({moment.date() for moment in mastered.values_list("mastered_at", flat=True)}) > 20


def test_some_fills_hold_and_some_came_back(demo):
    fills = AssignedVariation.objects
    assert fills.filter(held_at__isnull=False).count() > 20
    assert fills.filter(returned_at__isnull=False).exists()


def test_every_fill_lies_in_the_space_of_its_student(demo):
    for variation in AssignedVariation.objects.select_related(
        "assignment__student__kit", "assignment__source_bar", "assignment__rule_set"
    ):
        given = variation.assignment
        space = space_for(given.bar, given.rule_set, given.student)
        assert space.fill(variation.rank) == variation.as_fill


def test_no_student_has_a_fill_twice(demo):
    fills = AssignedVariation.objects.values_list("assignment__student", "rendering")
    assert len(set(fills)) == len(fills)


def test_every_fill_is_engraved(demo):
    renderings = Rendering.objects.filter(variations__isnull=False).distinct()
    assert renderings
    assert {rendering.state for rendering in renderings} == {Rendering.State.DONE}
    assert all("<svg" in Path(one.file.path).read_text() for one in renderings)


def test_the_engravings_are_those_that_pages_ask_for(demo):
    variation = AssignedVariation.objects.select_related("rendering").first()
    given = variation.assignment
    how = (given.tempo, StickingStyle(given.sticking), given.feel)
    kit = engine.Kit.from_json(given.kit)
    assert engravings_of([variation.as_fill], [kit], *how) == [variation.rendering]


def test_some_fills_swing_and_are_taken_as_they_are_meant(demo):
    swung = Assignment.objects.filter(swing=67)
    assert swung
    takes = Take.objects.filter(variation__assignment__in=swung)
    assert all(take.analysis["feel"] == {"swing": 67, "unit": "eighths"} for take in takes)


def test_every_fill_can_be_played_at_the_tempo_it_was_given_for(demo):
    for variation in AssignedVariation.objects.select_related("assignment", "rendering"):
        given = variation.assignment
        played, kit = variation.rendering.fill, engine.Kit.from_json(given.kit)
        assert top_tempo(played, kit) >= given.tempo


def zone_of(demo_studio, nickname):
    student = demo_studio.students.get(nickname=nickname)
    return zone_in(KeptZone.objects.get(student=student))


def test_every_take_was_understood(demo):
    assert set(Take.objects.values_list("state", flat=True)) == {Take.State.DONE}
    without_fills = Take.objects.filter(fills=[]).count()
    assert without_fills < 0.05 * Take.objects.count()


@pytest.mark.parametrize(
    ("nickname", "hidden"),
    [
        ("Noor", "All fills are one of the same two, or nearly."),
        ("Luz", "Walks down the toms"),
        ("Teo", "Two of three fills are one and the same, or nearly."),
        ("Mei", "Ends on the hi-hat"),
    ],
)
def test_the_comfort_zone_says_what_the_takes_hide(demo_studio, nickname, hidden):
    assert hidden in zone_of(demo_studio, nickname).sentences[0]


@pytest.mark.parametrize("nickname", ["Ilja", "Fenna", "Kofi"])
def test_who_hides_nothing_has_no_sentence(demo_studio, nickname):
    assert zone_of(demo_studio, nickname).sentences == ()


@pytest.mark.parametrize("nickname", ["Bo", "Wren"])
def test_nothing_is_known_of_who_has_too_few_takes(demo_studio, nickname):
    assert zone_of(demo_studio, nickname) is None


def test_a_left_handed_student_and_one_with_more_cymbals_are_heard_right(demo_studio):
    """The big kit sends what other kits send for a crash; it has shown what it means."""
    played = {stroke.surface for fill in _fills_of(demo_studio, "Ilja") for stroke in fill.strokes}
    assert {engine.Surface.SPLASH, engine.Surface.CHINA} <= played


def test_one_student_was_led_out_of_the_comfort_zone(demo_studio):
    student = demo_studio.students.get(nickname="Gus")
    worked = whether_it_worked(student.kept_zone, today_in(demo_studio))
    assert worked.verdict == "yes"
    assert worked.before.share > worked.after.share


def test_flags_stand_where_there_is_something_to_do(demo_studio):
    rows = compare_students(demo_studio, today_in(demo_studio))
    assert {row.student.nickname for row in rows if row.flag} == {"Noor", "Luz", "Teo", "Mei"}


def _fills_of(demo_studio, nickname):
    takes = Take.objects.filter(student__studio=demo_studio, student__nickname=nickname)
    return [fill for take in takes for fill in fills_in(take)]


def test_the_printed_password_signs_the_teacher_in(demo):
    assert scenario.PASSWORD in demo["output"]
    client = Client()
    known = {"username": scenario.TEACHER, "password": scenario.PASSWORD}
    client.post(reverse("studio:sign-in"), known)
    assert client.get(reverse("studio:students")).status_code == 200


def test_every_printed_link_signs_a_student_in(demo):
    links = links_in(demo["output"])
    assert len(links) == len(scenario.PEOPLE)
    for link in links:
        assert Client().post(link).status_code == 302


def test_a_second_run_adds_nothing(demo):
    before = {model: model.objects.count() for model in COUNTED}
    run_demo()
    assert {model: model.objects.count() for model in COUNTED} == before


def test_a_second_run_prints_links_that_work_in_place_of_the_former(demo):
    after = links_in(run_demo())
    assert {Client().post(link).status_code for link in after} == {302}
    assert {Client().post(link).status_code for link in links_in(demo["output"])} == {404}


def test_a_second_run_leaves_the_link_of_a_student_added_meanwhile(demo_studio):
    added = Student.objects.create(
        studio=demo_studio, nickname="Somebody new", kit=demo_studio.kits.first()
    )
    secret = SignInLink.issue(added)
    run_demo()
    assert SignInLink.for_secret(secret).student == added


def test_a_second_run_leaves_a_removed_student_away(demo_studio):
    demo_studio.students.get(nickname="Teo").remove()
    assert "Teo" not in run_demo()


def test_a_second_run_does_not_print_a_password_that_was_changed(demo):
    teacher = Teacher.objects.get(email=scenario.TEACHER)
    teacher.set_password("another one")
    teacher.save()
    assert scenario.PASSWORD not in run_demo()
