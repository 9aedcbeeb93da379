"""The way out of a comfort zone: drawn, given, and looked back at."""

from datetime import datetime, time
from statistics import fmean

import pytest
from django.http import QueryDict

from assignments.assigning.assign import AssignmentSpec, assign_fills
from assignments.assigning.assign_page import AssignPage
from assignments.comfort.way_out import (
    SHOWS_AFTER,
    Side,
    Worked,
    kept_way_out,
    latest_way_out,
    tempo_of,
    whether_it_worked,
)
from assignments.days import today_in
from assignments.demo.backdating import backdate
from assignments.models import Assignment, KeptZone
from rhythms.engine import Fill
from rhythms.engine.comfort.variety_estimate import Estimate
from rhythms.engine.fills.likeness import likeness
from rhythms.engine.fills.playability import top_tempo
from rhythms.fill_spaces import space_for
from rhythms.models import RuleSet, SourceBar
from tests.assignments.comfort_making import COUNTS, DAY, look_at, take_of, walk_down, walks, wide
from tests.assignments.making import (
    ALL_ON_SNARE,
    EIGHTHS_STAY,
    give,
    logged,
    make_bar,
    make_rule_set,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(studio):
    return today_in(studio)


@pytest.fixture
def sixteenths(studio):
    return make_bar(studio, COUNTS, name="Line of 16ths")


@pytest.fixture
def anywhere(studio):
    return make_rule_set(studio, [], name="Anything")


def way_out_of(student):
    """The way out as the page has it, once the worker has looked."""
    look_at(student)
    return kept_way_out(student, today_in(student.studio))


def what_became(student, today):
    look_at(student)
    return whether_it_worked(KeptZone.objects.get(student=student), today)


def lead_out(teacher, student, bar, rules, day):
    """Give a way out as it was given on a day."""
    space = space_for(bar, rules, student)
    ranks = [space.rank(fill) for fill in space.sample(3, str(day))]
    (given,) = assign_fills(teacher, AssignmentSpec(bar, rules, 80, away=True), {student: ranks})
    noon = datetime.combine(day, time(12), tzinfo=student.studio.zone)
    backdate(given, created_at=noon)
    return given


def test_the_way_out_is_where_most_is_new(student, today, sixteenths, anywhere):
    on_the_snare = make_rule_set(student.studio, ALL_ON_SNARE, name="On the snare")
    give(student, 1, bar=sixteenths, rule_set=on_the_snare)
    give(student, 1, bar=sixteenths, rule_set=anywhere)
    walks(student, today)
    found = way_out_of(student)
    assert found.given == (sixteenths.pk, anywhere.pk, None)


def test_there_is_no_way_out_where_nothing_was_given(student, today):
    walks(student, today)
    assert way_out_of(student) is None


def test_there_is_no_way_out_of_the_only_fill_there_is(student, today, sixteenths):
    give(student, 1, bar=sixteenths, rule_set=make_rule_set(student.studio, ALL_ON_SNARE))
    assert way_out_of(student) is None


@pytest.mark.parametrize(("tempo", "leads_out"), [(60, True), (240, False)])
def test_a_way_out_can_be_played_at_the_students_tempo(
    student, today, sixteenths, anywhere, tempo, leads_out
):
    give(student, 1, bar=sixteenths, rule_set=anywhere)
    take_of(student, today, [walk_down()], tempo=tempo)
    assert bool(way_out_of(student)) == leads_out


@pytest.mark.parametrize("gone", ["bar", "rule_set"])
def test_what_left_the_library_is_no_way_out(student, today, sixteenths, anywhere, gone):
    given = give(student, 1, bar=sixteenths, rule_set=anywhere)
    given.remove()
    thing = {"bar": sixteenths, "rule_set": anywhere}[gone]
    type(thing).objects.filter(pk=thing.pk).update(removed_at=given.removed_at)
    given.restore()
    assert way_out_of(student) is None


@pytest.mark.parametrize("gone", ["bar", "rule_set"])
def test_where_the_library_loses_the_way_out_another_one_is_found(
    student, today, sixteenths, anywhere, gone
):
    """The takes are the same, and so is all that was given."""
    give(student, 1, bar=sixteenths, rule_set=anywhere)
    other = make_bar(student.studio, "1 e & a 2 & 3 e & a 4 &", name="Other")
    give(student, 1, bar=other, rule_set=make_rule_set(student.studio, EIGHTHS_STAY))
    walks(student, today)
    before = kept_way_out(student, today).given
    thing = {
        "bar": SourceBar.objects.get(pk=before.source_bar),
        "rule_set": RuleSet.objects.get(pk=before.rule_set),
    }[gone]
    thing.remove()
    after = way_out_of(student).given
    place = {"bar": 0, "rule_set": 1}[gone]
    assert after[place] not in (before[place], None)


@pytest.mark.parametrize("gone", ["bar", "rule_set"])
def test_what_left_the_library_just_now_is_no_way_out(student, today, sixteenths, anywhere, gone):
    """The worker has not looked again yet."""
    give(student, 1, bar=sixteenths, rule_set=anywhere)
    walks(student, today)
    assert kept_way_out(student, today) is not None
    {"bar": sixteenths, "rule_set": anywhere}[gone].remove()
    assert kept_way_out(student, today) is None


def test_the_way_out_is_at_the_tempo_that_was_practised_since(student, today, sixteenths, anywhere):
    give(student, 1, bar=sixteenths, rule_set=anywhere)
    walks(student, today)
    assert kept_way_out(student, today).tempo == 80
    logged(student, 5, today, tempo=104)
    assert kept_way_out(student, today).tempo == 104


def test_the_tempo_is_the_middle_of_what_was_played(student, today):
    for tempo in (70, 92, 100):
        take_of(student, today, [walk_down()], tempo=tempo)
    assert tempo_of(student, today) == 92


def test_without_takes_the_tempo_is_the_middle_of_what_was_logged(student, today):
    logged(student, 5, today, tempo=64)
    assert tempo_of(student, today) == 64


def test_without_a_log_the_tempo_is_the_one_given_last(student, today):
    give(student, tempo=76)
    assert tempo_of(student, today) == 76


def drawn_for(student, bar, rules, today, seed):
    data = QueryDict(mutable=True)
    data.update({"bar": bar.pk, "rule_set": rules.pk, "how_many": 3, "tempo": 80})
    data["seed"] = str(seed)
    data.setlist("students", [str(student.pk)])
    (drawn,) = AssignPage.blank(student.studio, data, today).draws
    return [drawn.space.fill(rank) for rank in drawn.ranks]


def test_what_is_drawn_stays_further_from_what_is_played(student, today, sixteenths):
    """The same bar, rules and seeds, before and after the takes.

    One draw is a matter of luck: of 60 pairs, 58 were further away, by 0.24 on average.
    """
    rules = make_rule_set(student.studio, EIGHTHS_STAY)

    def draws():
        return [drawn_for(student, sixteenths, rules, today, seed) for seed in range(8)]

    def nearest(fills):
        return max(likeness(fill, walk_down()) for fill in fills)

    unaware = draws()
    walks(student, today)
    aware = draws()
    assert fmean(map(nearest, aware)) < fmean(map(nearest, unaware))
    kit = space_for(sixteenths, rules, student).kit
    assert all(top_tempo(fill, kit) >= 80 for fills in aware for fill in fills)


def test_a_way_out_remembers_what_it_leads_away_from(teacher, student, today, sixteenths, anywhere):
    walks(student, today)
    given = lead_out(teacher, student, sixteenths, anywhere, today)
    given.refresh_from_db()
    assert [Fill.from_json(one) for one in given.away_from] == [walk_down()]


def test_any_other_assignment_leads_away_from_nothing(student, today):
    walks(student, today)
    assert give(student).away_from == []
    assert latest_way_out([student]) == {}


def test_the_latest_way_out_counts(teacher, student, today, sixteenths, anywhere):
    walks(student, today)
    lead_out(teacher, student, sixteenths, anywhere, today - 20 * DAY)
    rules = make_rule_set(student.studio, EIGHTHS_STAY)
    later = lead_out(teacher, student, sixteenths, rules, today - 5 * DAY)
    give(student)
    assert latest_way_out([student]) == {student.pk: later}


def test_a_removed_way_out_is_none(teacher, student, today, sixteenths, anywhere):
    walks(student, today)
    lead_out(teacher, student, sixteenths, anywhere, today).remove()
    assert what_became(student, today) is None


@pytest.fixture
def given_on(teacher, student, today, sixteenths, anywhere):
    """A way out that was given after weeks of one fill."""
    day = today - 14 * DAY
    walks(student, day, takes=10, every=2)
    lead_out(teacher, student, sixteenths, anywhere, day)
    return day


def test_who_plays_wider_since_then_was_led_out(student, today, given_on):
    wide(student, today, takes=10, every=1)
    worked = what_became(student, today)
    assert worked.verdict == "yes"
    assert worked.before.variety.value < 1.1 < worked.after.variety.value
    assert (worked.before.share, worked.after.share) == (pytest.approx(1), 0)
    assert worked.before.typical == walk_down()


def test_who_plays_on_as_before_was_not(student, today, given_on):
    walks(student, today, takes=10, every=1)
    assert what_became(student, today).verdict == "open"


def test_takes_of_the_day_it_was_given_are_before_it(student, today, given_on):
    worked = what_became(student, today)
    assert (worked.before.takes, worked.after.takes) == (10, 0)
    assert worked.verdict == "too few"


def test_it_is_not_judged_within_the_week(student, today, given_on):
    wide(student, given_on + 5 * DAY, takes=5, every=1)
    worked = what_became(student, given_on + (SHOWS_AFTER - 1) * DAY)
    assert worked.verdict == "early"
    assert worked.shows_on == given_on + SHOWS_AFTER * DAY


@pytest.mark.parametrize(
    ("low", "value", "high", "verdict"),
    [(1.1, 1.5, 2.0, "yes"), (0.9, 1.5, 2.0, "open"), (0.5, 0.7, 0.9, "no")],
)
def test_it_worked_only_where_chance_would_not_do_as_much(today, low, value, high, verdict):
    side = Side(20, None, None, None)
    grown = Estimate(value, low, high, 40)
    worked = Worked(Assignment(), today - SHOWS_AFTER * DAY, today, side, side, grown)
    assert worked.verdict == verdict


def test_who_got_narrower_is_shown_as_that(teacher, student, today, sixteenths, anywhere):
    day = today - 14 * DAY
    wide(student, day, takes=10, every=2)
    lead_out(teacher, student, sixteenths, anywhere, day)
    walks(student, today, takes=10, every=1)
    assert what_became(student, today).verdict == "no"
