"""Figures on single fills, which are worked out once."""

from dataclasses import replace

import pytest

from assignments.comfort import figure_store
from assignments.comfort.figure_store import FigureStore
from assignments.days import today_in
from assignments.models import FillFigures
from rhythms.engine import Kit
from rhythms.engine.comfort.rhythm_chances import rhythm_chances
from tests.assignments.comfort_making import BAR, fill_on, walk_down, walks

pytestmark = pytest.mark.django_db

KIT = Kit.standard()


def never():
    pytest.fail("It was worked out again.")


def keep(student, value, fill=None, name="length", kit=KIT):
    store = FigureStore.of(student)
    found = store.figure(name, fill or walk_down(), kit, lambda: value)
    store.save()
    return found


@pytest.mark.parametrize("value", [4, None, [["a", 0.5]]])
def test_what_was_worked_out_is_kept(student, value):
    assert keep(student, value) == value
    assert FigureStore.of(student).figure("length", walk_down(), KIT, never) == value


def test_one_store_works_out_once(student):
    store = FigureStore.of(student)
    store.figure("length", walk_down(), KIT, lambda: 4)
    assert store.figure("length", walk_down(), KIT, never) == 4


def test_hands_make_no_other_fill(student):
    keep(student, 4)
    first, *others = walk_down().strokes
    by_hand = type(walk_down())(BAR, (first._replace(limb="R"), *others))
    assert FigureStore.of(student).figure("length", by_hand, KIT, never) == 4


@pytest.mark.parametrize(
    "other",
    [
        {"name": "width"},
        {"fill": fill_on([one.surface for one in reversed(walk_down().strokes)])},
        {"kit": replace(KIT, left_handed=True)},
    ],
    ids=lambda other: next(iter(other)),
)
def test_another_name_fill_or_kit_has_figures_of_its_own(student, other):
    keep(student, 4)
    assert keep(student, 5, **other) == 5


def test_what_older_code_made_is_worked_out_anew(student, monkeypatch):
    keep(student, 4)
    monkeypatch.setattr(figure_store, "COMFORT_VERSION", "newer")
    assert keep(student, 5) == 5
    assert FillFigures.objects.get(student=student).version == "newer"


def test_another_student_has_figures_of_their_own(student, classmate):
    keep(student, 4)
    assert keep(classmate, 5) == 5


def test_nothing_is_written_where_nothing_is_new(student, django_assert_num_queries):
    keep(student, 4)
    store = FigureStore.of(student)
    store.figure("length", walk_down(), KIT, never)
    with django_assert_num_queries(0):
        store.save()


def test_those_last_asked_for_stay(student, monkeypatch):
    monkeypatch.setattr(figure_store, "MOST_KEPT", 2)
    for name in ("first", "second", "third"):
        keep(student, 4, name=name)
    store = FigureStore.of(student)
    for name in ("second", "third"):
        store.figure(name, walk_down(), KIT, never)
    assert store.figure("first", walk_down(), KIT, lambda: 5) == 5


def test_chances_are_those_of_the_rhythm_and_are_kept(student, monkeypatch):
    store = FigureStore.of(student)
    found = store.chances(walk_down(), KIT)
    store.save()
    assert found == rhythm_chances(walk_down(), KIT)
    monkeypatch.setattr(figure_store, "rhythm_chances", lambda *_: never())
    assert FigureStore.of(student).chances(walk_down(), KIT) == found


def test_a_zone_keeps_the_chances_of_what_was_played(student, studio, monkeypatch):
    walks(student, today_in(studio))
    assert FillFigures.objects.filter(student=student).exists()
    monkeypatch.setattr(figure_store, "rhythm_chances", lambda *_: never())
    walks(student, today_in(studio))
