"""A way out for who was given nothing: bars of the library, and the one thing that they change."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assignments.assigning.assign import AssignmentSpec, assign_fills
from assignments.comfort.library_way_out import OwnRhythm
from assignments.comfort.way_out import WayOut, way_out_for
from assignments.comfort.way_out_wishes import way_out_wishes
from assignments.days import today_in
from rhythms.engine.comfort.traits import traits
from rhythms.fill_spaces import space_for
from tests.assignments.comfort_making import COUNTS, look_at, take_of, walk_down, walks
from tests.assignments.making import ALL_ON_SNARE, give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db

PARADIDDLE = [{"rule": "sticking", "rudiment": "single paradiddle"}]


@pytest.fixture
def today(studio):
    return today_in(studio)


@pytest.fixture(autouse=True)
def _bare(studio):
    """A library without what a new studio starts with."""
    studio.bars.update(removed_at=timezone.now())
    studio.rule_sets.update(removed_at=timezone.now())


@pytest.fixture
def walker(student, today):
    """Somebody who plays one fill, and was given nothing."""
    walks(student, today)
    return student


@pytest.fixture
def sixteenths(studio):
    return make_bar(studio, COUNTS, name="Line of 16ths")


@pytest.fixture
def anywhere(studio):
    return make_rule_set(studio, [], name="Anything")


def given_of(student):
    return way_out_for(student, today_in(student.studio)).given


def test_who_was_given_nothing_gets_the_bar_nearest_to_what_they_play(
    walker, studio, sixteenths, anywhere
):
    make_bar(studio, "1 2 3 4", name="Quarters")
    make_bar(studio, "1 & 2 & 3 & 4 &", name="Eighths")
    assert given_of(walker) == (sixteenths.pk, anywhere.pk, None)


def test_the_bar_is_in_the_meter_they_play(walker, studio, anywhere):
    make_bar(studio, "1 e & a 2 e & a 3 e & a", name="Three", meter="3/4")
    four = make_bar(studio, "1 2 3 4", name="Quarters")
    assert given_of(walker).source_bar == four.pk


def test_rules_that_bring_nothing_else_come_first(walker, studio, sixteenths):
    make_rule_set(studio, PARADIDDLE, name="Paradiddle")
    make_rule_set(studio, ALL_ON_SNARE, name="On the snare")
    where = [{"rule": "end on", "surfaces": ["toms"]}]
    plain = make_rule_set(studio, where, name="Where strokes go")
    assert given_of(walker).rule_set == plain.pk


def test_of_another_studios_library_nothing_is_taken(walker, other_studio):
    make_bar(other_studio, COUNTS, name="Theirs")
    make_rule_set(other_studio, [], name="Theirs")
    assert isinstance(way_out_for(walker, today_in(walker.studio)), OwnRhythm)


def test_what_was_given_goes_before_the_library(walker, studio, sixteenths, anywhere):
    eighths = make_bar(studio, "1 & 2 & 3 & 4 &", name="Eighths")
    give(walker, 1, bar=eighths, rule_set=anywhere)
    look_at(walker)
    assert given_of(walker).source_bar == eighths.pk


def test_without_a_zone_nothing_is_proposed(student, sixteenths, anywhere):
    assert way_out_for(student, today_in(student.studio)) is None


def test_what_cannot_be_played_at_their_tempo_is_not_proposed(student, today, sixteenths, anywhere):
    for number in range(8):
        take_of(student, today - timedelta(days=number), [walk_down()], tempo=240)
    look_at(student)
    assert way_out_for(student, today) is None


def test_where_the_library_has_no_bar_it_is_their_own_rhythm(walker):
    assert way_out_for(walker, today_in(walker.studio)) == OwnRhythm("4/4", COUNTS)


def test_their_own_rhythm_opens_a_new_bar_that_is_filled_in(teacher_client, walker):
    response = teacher_client.get(reverse("assignments:way-out", args=[walker.pk]), follow=True)
    assert response.redirect_chain[0][0].startswith(reverse("rhythms:bar-new"))
    page = response.content.decode()
    assert f'value="{COUNTS.replace("&", "&amp;")}"' in page
    assert f"This is a rhythm that {walker} plays" in page


def test_once_it_is_saved_it_is_the_way_out(walker, anywhere):
    own = way_out_for(walker, today_in(walker.studio))
    bar = make_bar(walker.studio, own.counts, meter=own.meter)
    assert isinstance(way_out_for(walker, today_in(walker.studio)), WayOut)
    assert given_of(walker).source_bar == bar.pk


def test_the_way_out_of_the_library_opens_with_fills_drawn(
    teacher_client, walker, sixteenths, anywhere
):
    response = teacher_client.get(reverse("assignments:way-out", args=[walker.pk]), follow=True)
    assert f"Assign 3 fills to {walker}" in response.content.decode()


def test_the_page_says_the_one_thing_beside_the_button(teacher_client, walker):
    page = teacher_client.get(reverse("assignments:student-comfort", args=[walker.pk]))
    changed = way_out_wishes([walker])[walker].change.words("their")
    assert f"Draw a way out for {walker}: {changed}</a>" in page.content.decode()


def test_the_reason_that_is_kept_says_the_one_thing(
    teacher, walker, sixteenths, anywhere, django_assert_num_queries
):
    with django_assert_num_queries(1):
        wish = way_out_wishes([walker])[walker]
    space = space_for(sixteenths, anywhere, walker)
    changed = next(fill for fill in space.sample(9, 1) if wish.change.is_made_in(fill))
    as_ever = next(fill for fill in space.sample(4000, 1) if not wish.change.is_made_in(fill))
    work = AssignmentSpec(sixteenths, anywhere, 60, away=True)
    ranks = [space.rank(fill) for fill in (changed, as_ever)]
    (given,) = assign_fills(teacher, work, {walker: ranks})
    with_it, without = given.variations.order_by("position")
    said = wish.change.words("their")
    assert with_it.reason.startswith(f"{said[0].upper()}{said[1:]}. ")
    assert said not in without.reason.lower()


def test_no_other_assignment_says_it(teacher, walker, sixteenths, anywhere):
    wish = way_out_wishes([walker])[walker]
    space = space_for(sixteenths, anywhere, walker)
    ranks = [space.rank(fill) for fill in space.sample(3, 1)]
    (given,) = assign_fills(teacher, AssignmentSpec(sixteenths, anywhere, 60), {walker: ranks})
    said = wish.change.words("their")
    assert all(said not in one.reason.lower() for one in given.variations.all())


def test_what_they_play_shows_the_trait_that_is_to_change(walker):
    assert way_out_wishes([walker])[walker].change.trait in traits(walk_down())


def test_on_a_kit_of_one_drum_no_other_one_is_spoken_of(teacher_client, walker):
    walker.kit.surfaces = ["snare"]
    walker.kit.save()
    page = teacher_client.get(reverse("assignments:student-comfort", args=[walker.pk]))
    assert f"Draw a way out for {walker}</a>" in page.content.decode()
    assert way_out_wishes([walker]) == {}
