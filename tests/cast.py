"""The people in all tests: a teacher with a student, and another studio's."""

from typing import NamedTuple

from django.test import Client
from django.urls import reverse

from studio.models import SignInLink, Student, Studio, Teacher
from studio.studio_opening import create_studio

PASSWORD = "paradiddle-diddle-7"


def open_a_studio(name: str, email: str) -> tuple[Studio, Teacher]:
    """Return a new studio, with all that every new studio starts with, and its teacher."""
    teacher = Teacher.objects.create_user(email, PASSWORD)
    return create_studio(name, "Europe/Berlin", teacher), teacher


def add_student(studio: Studio, nickname: str, **details) -> Student:
    """Return a new student of the studio, on its first kit unless `details` says otherwise."""
    details.setdefault("kit", studio.kits.first())
    return Student.objects.create(studio=studio, nickname=nickname, **details)


def signed_in_teacher(teacher: Teacher) -> Client:
    client = Client()
    client.force_login(teacher)
    return client


def signed_in_student(student: Student) -> Client:
    """Return a client that came in by a personal link, as a student does."""
    client = Client()
    client.post(reverse("studio:enter", args=[SignInLink.issue(student)]))
    return client


class MadeOnce(NamedTuple):
    """Keys of a teacher, a student and the fills the student has; a browser of each of the two."""

    teacher: int
    student: int
    assignment: int
    teacher_client: Client
    student_client: Client


def like(client: Client) -> Client:
    """Another browser, with the session that this one has."""
    other = Client()
    other.cookies.load(client.cookies.output(header="", sep=";"))
    return other
