"""The demo's studio, kits and students, with the library its lessons draw from."""

from dataclasses import dataclass

from assignments.demo import scenario
from assignments.demo.scenario import PEOPLE, Person
from assignments.student_grooves import set_grooves
from rhythms.grooves.groove_list import Wish, wanted_grooves
from rhythms.models import RuleSet, SourceBar, StudioGroove
from studio.models import SignInLink, Student, Studio, Teacher
from studio.studio_opening import create_studio


@dataclass(frozen=True)
class Library:
    """The studio's bars and rule sets by name."""

    bars: dict[str, SourceBar]
    rule_sets: dict[str, RuleSet]


def demo_teacher() -> Teacher | None:
    """Return the teacher of the demo where it was filled before."""
    return Teacher.objects.filter(email=scenario.TEACHER).first()


def open_demo_studio() -> tuple[Teacher, Studio]:
    """Open the studio with its kits, its students and what the teacher added to the library."""
    teacher = Teacher.objects.create_user(scenario.TEACHER, scenario.PASSWORD)
    studio = create_studio(scenario.STUDIO, scenario.TIMEZONE, teacher)
    for name, surfaces in scenario.KITS.items():
        studio.kits.create(name=name, surfaces=surfaces)
    name, meter, counts, reference = scenario.OWN_BAR
    SourceBar.objects.create(
        studio=studio, name=name, meter=meter, counts=counts, reference=reference
    )
    name, meter, style, lines, setup = scenario.OWN_GROOVE
    own = {"name": name, "meter": meter, "style": style, "lines": lines, "setup": setup}
    StudioGroove.objects.create(studio=studio, slowest=76, fastest=108, **own)
    name, note, rules = scenario.OWN_RULE_SET
    RuleSet.objects.create(studio=studio, name=name, note=note, rules=rules)
    return teacher, studio


def library_of(studio: Studio) -> Library:
    return Library(
        {bar.name: bar for bar in studio.bars.all()},
        {rule_set.name: rule_set for rule_set in studio.rule_sets.all()},
    )


def enrol(studio: Studio, person: Person) -> Student:
    """Add the person to the studio's students, with the grooves that they work with."""
    student = Student.objects.create(
        studio=studio,
        nickname=person.nickname,
        handedness=person.handedness,
        kit=studio.kits.get(name=person.kit),
        level=person.level,
        lesson_weekday=person.lesson_weekday,
    )
    known = {one.pattern.name: one for one in wanted_grooves(studio, Wish())}
    set_grooves(student, [known[name] for name in person.grooves])
    return student


def fresh_links(studio: Studio) -> list[tuple[Person, str]]:
    """Return each person of the demo with a new sign-in secret; the links they had before end.

    Secrets are kept nowhere, so those of an earlier run cannot be shown again. Students that
    were removed meanwhile stay away, and those that were added keep their links.
    """
    people = {person.nickname: person for person in PEOPLE}
    students = list(Student.objects.kept().filter(studio=studio, nickname__in=people))
    for link in SignInLink.objects.working().filter(student__in=students):
        link.revoke()
    return [(people[student.nickname], SignInLink.issue(student)) for student in students]
