"""Twelve weeks of the demo's studio, once."""

from collections.abc import Callable
from datetime import date

from django.db import transaction

from assignments.days import days_up_to, today_in
from assignments.demo.demo_people import Library, enrol, library_of, open_demo_studio
from assignments.demo.demo_takes import Recorder
from assignments.demo.diary import Diary
from assignments.demo.lessons import give, lead_out, lesson_days
from assignments.demo.logbook import copy_out
from assignments.demo.scenario import PEOPLE, Person
from assignments.text import count
from studio.models import Student, Studio, Teacher

Say = Callable[[str], object]


@transaction.atomic
def fill(say: Say) -> Teacher:
    """Open the studio of the demo and let its twelve weeks pass; all or nothing.

    What is engraved is asked for at the end, when this is committed.
    """
    teacher, studio = open_demo_studio()
    library = library_of(studio)
    for person in PEOPLE:
        say(_lived(teacher, studio, library, person))
    say("Engraving the fills …")
    return teacher


def _lived(teacher: Teacher, studio: Studio, library: Library, person: Person) -> str:
    """Let a person's weeks pass; says what came of it."""
    student, today = enrol(studio, person), today_in(studio)
    lessons = lesson_days(student, today)
    given = give(teacher, student, person.lessons, library, today)
    recorder = Recorder(student, lessons, today)
    recorder.show_the_kit()
    takes = [take for playing in person.playing for take in recorder.record(playing, given)]
    if person.way_out:
        given |= lead_out(teacher, student, person.way_out, library, today)
    pieces = sorted(given, key=lambda piece: piece.given_on)
    diary = Diary(person.habit, pieces, seed=person.nickname)
    diary.keep(_days(student, today), lessons[-1])
    entries = copy_out(student, diary, given)
    fills = count(len(given), "fill")
    logged = count(entries, "log entry", "log entries")
    return f"  {student}: {fills}, {logged}, {count(len(takes), 'take')}"


def _days(student: Student, today: date) -> list[date]:
    first = lesson_days(student, today)[0]
    return days_up_to(today, (today - first).days + 1)
