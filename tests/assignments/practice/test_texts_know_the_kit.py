"""What a student reads, hears and takes along names nothing that their kit lacks."""

import re

import pytest
from django.urls import reverse
from django.utils.html import strip_tags

from assignments.blocks import GrooveChoice, block_of, playable
from assignments.downloads.sheet_content import sheet_of_assignment
from assignments.takes.take_analysis import rules_of
from assignments.today.practice_session import stage_of_today
from assignments.today.today import today_of
from rhythms.engine import Surface
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.engine.playback.groove_names import surfaces_named
from rhythms.sheets.sheet_text import Look
from studio.models import Kit, Student
from tests.assignments.making import first_fill, give, make_rule_set
from tests.assignments.making import today_of as day_of
from tests.cast import add_student, signed_in_student

pytestmark = pytest.mark.django_db

KITS = {
    "pad": ["snare"],
    "left-handed, a small kit": ["snare", "floor tom", "hi-hat", "ride", "bass drum"],
    "electronic kit": [*KIT_SURFACES],
    "two toms": ["high tom", "floor tom"],
}
RULES = [
    {"rule": "placement", "surfaces": ["snare", "toms", "crash", "ride"]},
    {"rule": "foot under", "when": "maybe"},
]


@pytest.fixture(params=KITS)
def of_a_kit(request, studio):
    hands = Student.Handedness.LEFT if "left" in request.param else Student.Handedness.RIGHT
    kit = Kit.objects.create(studio=studio, name=request.param, surfaces=KITS[request.param])
    return add_student(studio, "Ida", kit=kit, handedness=hands)


@pytest.fixture
def theirs(of_a_kit):
    rules = make_rule_set(of_a_kit.studio, RULES, "Most of the kit")
    return give(of_a_kit, rule_set=rules, groove=GrooveChoice("rock on the ride"))


def lacking(student: Student, text: str) -> set[str]:
    has = {*student.kit.surfaces}
    ways = {Surface.OPEN_HI_HAT: "hi-hat", Surface.RIDE_BELL: "ride", Surface.CROSS_STICK: "snare"}
    named = set(surfaces_named(text))
    return {str(one) for one in named if one not in has and ways.get(one) not in has}


def sounding(block: dict) -> str:
    lists = [block["fill"], block["feet"], block["landing"], *block["grooves"].values()]
    return " ".join(sound["surface"] for sounds in lists for sound in sounds)


def body(page: bytes) -> str:
    main = re.search(r"<main.*</main>", page.decode(), re.DOTALL)
    return strip_tags(re.sub(r"<(script|svg).*?</\1>", "", main[0], flags=re.DOTALL))


@pytest.mark.parametrize("address", ["assignments:fill", "assignments:fill-files"])
def test_no_page_of_a_fill_names_what_the_kit_lacks(of_a_kit, theirs, address):
    page = signed_in_student(of_a_kit).get(reverse(address, args=[first_fill(theirs).pk]))
    assert not lacking(of_a_kit, body(page.content))


def test_no_sheet_names_what_the_kit_lacks(of_a_kit, theirs):
    (section,) = sheet_of_assignment(theirs, Look()).sections
    labels = [exercise.label for exercise in (*section.groove, *section.exercises)]
    assert not lacking(of_a_kit, " ".join([*section.lines, *section.rules, *labels]))


def test_nothing_that_todays_run_plays_or_offers_is_off_the_kit(of_a_kit, theirs):
    session = stage_of_today(today_of(of_a_kit, day_of(of_a_kit))).session
    for block in session["blocks"].values():
        assert not lacking(of_a_kit, sounding(block) + " ".join([*block["grooves"]]))


def test_every_block_lands_on_something(theirs):
    assert block_of(first_fill(theirs)).landing
    assert playable(first_fill(theirs))["landing"][0]["dynamic"] == "accent"


def test_takes_know_the_rules_however_they_were_told(of_a_kit, theirs):
    fill = first_fill(theirs)
    assert rules_of(fill)
    fill.assignment.sentences = list(rules_of(fill).rule_set.sentences())
    assert rules_of(fill)
