"""The pages of comfort zones."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from assignments.comfort.studio_comparison import COLUMNS, Order, compare_students, ordered, pairs
from assignments.comfort.way_out_wishes import way_out_wishes
from assignments.days import today_in
from assignments.models import KeptZone
from tests.assignments.comfort.test_way_out import lead_out
from tests.assignments.comfort_making import (
    BAR,
    COUNTS,
    DAY,
    look_at,
    take_of,
    walk_down,
    walks,
    wide,
)
from tests.assignments.making import give, logged, make_bar, make_rule_set
from tests.cast import add_student

pytestmark = pytest.mark.django_db

STUDIO = reverse("assignments:comfort")


@pytest.fixture
def today(studio):
    return today_in(studio)


def address(student) -> str:
    return reverse("assignments:student-comfort", args=[student.pk])


def read(client, url) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def names_in_order(page: str) -> list[str]:
    return re.findall(r'<th scope="row"><a href="/students/\d+/comfort/">([^<]+)</a>', page)


def row_of(student, today):
    return next(row for row in compare_students(student.studio, today) if row.student == student)


def test_the_page_says_first_what_stands_out(teacher_client, student, today):
    walks(student, today)
    assert "All fills are one and the same, or nearly." in read(teacher_client, address(student))


def test_the_page_says_what_it_rests_on(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, address(student))
    assert "Rests on 10 takes with 20 fills of the last six weeks, 3 min of playing." in page


def test_below_the_least_number_of_takes_the_page_says_nothing_else(teacher_client, student, today):
    walks(student, today, takes=3)
    page = read(teacher_client, address(student))
    assert "There are 3 of the last six weeks; 5 more are needed." in page
    assert "Played most" not in page
    assert "Moves round the kit" not in page


def test_the_fill_played_most_is_engraved_and_can_be_heard(
    teacher_client, student, today, django_capture_on_commit_callbacks
):
    walks(student, today)
    with django_capture_on_commit_callbacks(execute=True):
        teacher_client.get(address(student))
    page = read(teacher_client, address(student))
    assert "100 %</span> of the time, in 10 of 10 takes" in page
    assert '<figure class="notation"> <svg' in page
    assert "data-hear=" in page


def test_its_engraving_is_shown_to_the_student_and_to_nobody_else(
    teacher_client,
    student_client,
    classmate_client,
    student,
    today,
    django_capture_on_commit_callbacks,
):
    walks(student, today)
    with django_capture_on_commit_callbacks(execute=True):
        teacher_client.get(address(student))
    (rendering,) = {one for take in student.takes.all() for one in take.renderings.all()}
    url = reverse("rhythms:rendering", args=[rendering.key])
    assert student_client.get(url).status_code == 200
    assert classmate_client.get(url).status_code == 404


def test_moves_on_the_kit_are_numbered_as_in_the_list_beside(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, address(student))
    of_picture = dict(re.findall(r"(\d): from ([\w ]+ to [\w ]+)\.", page))
    (beside,) = re.findall(r'<ol class="move-list">(.*?)</ol>', page)
    listed = re.findall(r"<li>([\w ]+ to [\w ]+)", beside)
    assert len(listed) == 3
    assert [of_picture[str(number)] for number in (1, 2, 3)] == [one.lower() for one in listed]


def test_all_moves_stand_among_the_figures(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, address(student))
    figures = page.split("<summary>The figures</summary>")[1]
    assert "high tom to mid tom" in figures
    assert "stays on the snare" in figures


def test_nothing_on_the_page_is_held_against_chance(teacher_client, student, today):
    walks(student, today)
    give(student, 1)
    assert "chance" not in read(teacher_client, address(student))


def test_a_beat_is_named_where_most_of_a_move_arrives_there(teacher_client, student, today):
    walks(student, today)
    assert "High tom to mid tom, mostly in beat 3" in read(teacher_client, address(student))


def test_without_a_fill_that_comes_back_none_is_played_most(teacher_client, student, today):
    wide(student, today)
    page = read(teacher_client, address(student))
    assert "No two alike, so far." in page
    assert "of the time, in" not in page


def test_a_fill_of_two_takes_is_not_yet_one_played_most(teacher_client, student, today):
    wide(student, today, takes=8)
    for days in (1, 2):
        take_of(student, today - days * DAY, [walk_down()])
    look_at(student)
    assert "Nothing in three takes or more, so far." in read(teacher_client, address(student))


def test_what_is_left_out_without_anything_assigned_is_held_against_others(
    teacher_client, student, today
):
    walks(student, today)
    assert "how often others on the same rhythms would make it" in read(
        teacher_client, address(student)
    )


def test_surfaces_that_were_not_used_are_named(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, address(student))
    assert "<dt>Drums and cymbals not used</dt><dd>hi-hat, ride, crash, cowbell</dd>" in page


def test_a_student_sees_their_own_and_no_flag(student_client, student, today):
    walks(student, today)
    page = read(student_client, reverse("assignments:my-playing"))
    assert "All fills are one and the same, or nearly." in page
    assert "way out" not in page.lower()


def test_the_student_page_has_it_in_short(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, reverse("assignments:student", args=[student.pk]))
    assert "All fills are one and the same, or nearly." in page
    assert address(student) in page


def test_the_studio_has_a_row_for_each_student(teacher_client, student, classmate, today):
    walks(student, today)
    logged(student, 12, today)
    page = read(teacher_client, STUDIO)
    assert set(names_in_order(page)) == {student.nickname, classmate.nickname}
    assert "No takes of the last six weeks" in page
    assert '<span class="figure">12</span>' in page


def test_a_student_of_another_studio_is_not_among_them(teacher_client, other_student, today):
    walks(other_student, today)
    assert other_student.nickname not in read(teacher_client, STUDIO)


def test_the_studio_takes_as_many_queries_for_many_as_for_one(
    teacher_client, student, classmate, today, django_assert_num_queries
):
    walks(student, today)
    teacher_client.get(STUDIO)
    with CaptureQueriesContext(connection) as for_two:
        teacher_client.get(STUDIO)
    queries = len(for_two)
    for number in range(3):
        walks(add_student(student.studio, f"Another {number}"), today)
    teacher_client.get(STUDIO)
    with django_assert_num_queries(queries):
        teacher_client.get(STUDIO)


def test_who_keeps_to_the_same_is_flagged_with_the_way_out(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, STUDIO)
    assert "All fills are one and the same, or nearly." in page
    assert reverse("assignments:way-out", args=[student.pk]) in page


def test_who_plays_anything_is_not_flagged(student, today):
    wide(student, today, takes=14)
    assert row_of(student, today).flag == ""


def test_new_work_is_not_flagged(student, today):
    """Ten takes within two weeks of one fill that was given just then, and nothing else yet."""
    fill = give(student, 1).variations.get().as_fill
    for number in range(10):
        take_of(student, today - number * DAY, [fill])
    look_at(student)
    row = row_of(student, today)
    assert row.zone is not None
    assert row.flag == ""


def test_whose_way_out_is_under_way_is_not_flagged(teacher, student, today):
    walks(student, today)
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    rules = make_rule_set(student.studio, [], name="Anything")
    lead_out(teacher, student, bar, rules, today - 3 * DAY)
    row = row_of(student, today)
    assert (row.flag, row.way_out is None) == ("", False)


def test_a_flag_comes_back_where_the_way_out_has_had_its_time(teacher, student, today):
    walks(student, today, takes=12)
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    rules = make_rule_set(student.studio, [], name="Anything")
    lead_out(teacher, student, bar, rules, today - 20 * DAY)
    assert row_of(student, today).flag


def test_on_a_pad_there_is_nowhere_to_go(studio, today):
    studio.kits.create(name="Pad", surfaces=["snare"])
    student = add_student(studio, "Padda", kit=studio.kits.get(name="Pad"))
    snare = walk_down().strokes[0]
    for number in range(10):
        fill = type(walk_down())(BAR, (snare,) * len(BAR.sounded))
        take_of(student, today - number * 3 * DAY, [fill])
    assert row_of(student, today).flag == ""


@pytest.mark.parametrize("column", [column.name for column in COLUMNS])
@pytest.mark.parametrize("falling", [False, True])
def test_the_table_is_sorted_by_any_column_with_the_silent_last(
    student, classmate, studio, today, column, falling
):
    walks(student, today, takes=14)
    wide(classmate, today, takes=14)
    silent = add_student(studio, "Silent")
    rows = ordered(compare_students(studio, today), Order(column, falling))
    key = next(one.key for one in COLUMNS if one.name == column)
    values = [key(row) for row in rows if key(row) is not None]
    assert values == sorted(values, reverse=falling)
    if key(row_of(silent, today)) is None:
        assert key(rows[-1]) is None


def test_who_is_flagged_stands_first_without_an_order(teacher_client, student, classmate, today):
    wide(student, today, takes=14)
    walks(classmate, today)
    assert names_in_order(read(teacher_client, STUDIO)) == [classmate.nickname, student.nickname]


def test_the_order_of_the_page_is_told_to_a_screen_reader(teacher_client, student, today):
    walks(student, today)
    page = read(teacher_client, f"{STUDIO}?sort=-variety")
    assert '<th scope="col" aria-sort="descending"><a href="?sort=variety">Different fills' in page


def test_a_student_is_found_in_the_table_by_a_part_of_the_nickname(
    teacher_client, student, classmate
):
    page = read(teacher_client, f"{STUDIO}?q={student.nickname[1:].upper()}")
    assert names_in_order(page) == [student.nickname]


def test_a_search_in_the_table_keeps_its_order(teacher_client, student):
    page = read(teacher_client, f"{STUDIO}?q=m&sort=-minutes")
    assert '<input type="hidden" name="sort" value="-minutes">' in page


def test_an_order_of_the_table_keeps_what_is_looked_for(teacher_client, student):
    page = read(teacher_client, f"{STUDIO}?q=m&sort=-minutes")
    assert 'href="?q=m&amp;sort=variety"' in page
    assert 'href="?q=m">To do' in page


def test_a_table_in_which_nobody_is_found_says_so(teacher_client, student):
    page = read(teacher_client, f"{STUDIO}?q=Zoe")
    assert "No student has “Zoe” in their nickname." in page
    assert "Add your first student" not in page


def test_too_few_takes_lead_a_student_to_record_one(student_client):
    page = read(student_client, reverse("assignments:my-playing"))
    assert "What you keep coming back to shows from 8 takes on." in page
    assert f'href="{reverse("assignments:record")}">Record a take' in page


def test_too_few_takes_lead_the_teacher_to_enter_what_was_played(teacher_client, student):
    lesson_take = reverse("assignments:lesson-take", args=[student.pk])
    assert f'href="{lesson_take}">Enter what {student} played' in read(
        teacher_client, address(student)
    )


@pytest.mark.parametrize("text", ["", "nonsense", "-", "--variety", "-nonsense"])
def test_an_order_that_is_none_is_left_aside(text):
    assert Order.parse(text) == Order()


def test_two_with_the_same_habit_are_named_together(student, classmate, studio, today):
    walks(student, today)
    walks(classmate, today)
    (pair,) = pairs(compare_students(studio, today))
    assert {pair.one, pair.other} == {student, classmate}
    assert pair.habit == "walk down the toms from beat 3"


def test_two_who_use_more_drums_than_others_are_no_pair(student, classmate, studio, today):
    """Whoever strikes anything strikes everything: more than others, and nothing to work at."""
    for one in (student, classmate):
        wide(one, today, takes=20)
    rows = compare_students(studio, today)
    used = [fact for row in rows if row.zone for fact in row.zone.facts if fact.is_more]
    assert {fact.trait.kind for fact in used} >= {"use"}
    assert pairs(rows) == []


def test_the_way_out_opens_the_assign_page_with_fills_drawn(teacher_client, student, today):
    walks(student, today)
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    give(student, 1, bar=bar, rule_set=make_rule_set(student.studio, [], name="Anything"))
    look_at(student)
    response = teacher_client.get(reverse("assignments:way-out", args=[student.pk]), follow=True)
    page = re.sub(r"\s+", " ", response.content.decode())
    changed = way_out_wishes([student])[student].change.words("their")
    assert f"Drawn to lead away from what {student} falls back on: {changed}." in page
    assert f"Assign 3 fills to {student}" in page


def test_assigning_from_there_keeps_that_it_is_a_way_out(teacher_client, student, today):
    walks(student, today)
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    give(student, 1, bar=bar, rule_set=make_rule_set(student.studio, [], name="Anything"))
    look_at(student)
    page = teacher_client.get(
        reverse("assignments:way-out", args=[student.pk]), follow=True
    ).content.decode()
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    ranks = re.findall(rf'name="fill-{student.pk}" value="(\d+)"', page)
    sheet = {"bar": bar.pk, "rule_set": student.assignments.get().rule_set_id, "block_bars": 4}
    posted = {**fields, **sheet, "students": student.pk, "how_many": 3, "tempo": 80}
    response = teacher_client.post(
        reverse("assignments:assign"), {**posted, "away": "1", f"fill-{student.pk}": ranks}
    )
    assert response.status_code == 302, response.content.decode()
    assert student.assignments.order_by("-pk").first().away_from == [walk_down().to_json()]


def test_where_nothing_leads_further_the_page_says_so(teacher_client, student, today):
    """The library has the bar that they play, and no rules to play it by."""
    walks(student, today)
    make_bar(student.studio, COUNTS, name="Line of 16ths")
    student.studio.rule_sets.update(removed_at=timezone.now())
    response = teacher_client.get(reverse("assignments:way-out", args=[student.pk]), follow=True)
    assert f"Nothing new that {student} could play" in response.content.decode()


def test_the_page_tells_the_teacher_alone_whether_the_way_out_worked(
    teacher_client, student_client, teacher, student, today
):
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    rules = make_rule_set(student.studio, [], name="Anything")
    walks(student, today - 14 * DAY, takes=10, every=2)
    lead_out(teacher, student, bar, rules, today - 14 * DAY)
    wide(student, today, takes=10, every=1)
    page = read(teacher_client, address(student))
    assert "<strong>It worked.</strong>" in page
    assert "Before: the fill most played" in page
    assert "Since: the fill most played" in page
    own = read(student_client, reverse("assignments:my-playing"))
    assert "What stands out" in own
    assert "way out" not in own.casefold()


@pytest.fixture
def kept_by_older_code(student, today):
    """A zone in the form that an older version kept it in."""
    walks(student, today)
    kept = KeptZone.objects.get(student=student)
    for part in (kept.summary["zone"], kept.details["zone"]):
        del part["facts"]
    kept.version = "comfort-3"
    kept.save()
    return student


@pytest.mark.parametrize("page", ["comfort", "roster", "student", "student-comfort", "way-out"])
def test_a_zone_that_older_code_kept_stops_no_page(teacher_client, kept_by_older_code, page):
    parts = [] if page in ("comfort", "roster") else [kept_by_older_code.pk]
    response = teacher_client.get(reverse(f"assignments:{page}", args=parts), follow=True)
    assert response.status_code == 200


def test_a_zone_that_older_code_kept_is_asked_for_again(teacher_client, kept_by_older_code):
    page = read(teacher_client, address(kept_by_older_code))
    assert "The takes have not been looked at yet." in page


def test_fills_are_assigned_to_whom_older_code_kept_a_zone_of(teacher_client, kept_by_older_code):
    url = f"{reverse('assignments:assign')}?students={kept_by_older_code.pk}&away=1"
    assert teacher_client.get(url).status_code == 200


@pytest.fixture
def beside_a_student(student, classmate, studio, today):
    """One who walks down the toms, with two in the studio who play anything."""
    wide(classmate, today, takes=12)
    wide(add_student(studio, "Ada"), today, takes=12)
    walks(student, today, takes=12)
    return student


def test_what_stands_out_is_held_against_others_among_the_figures(teacher_client, beside_a_student):
    figures = read(teacher_client, address(beside_a_student)).split("<summary>The figures")[1]
    assert "Walks down the toms from beat 3" in figures
    assert '<th scope="col" class="number">Your other students</th>' in figures


def test_what_stands_out_is_said_to_a_student_as_you(student_client, beside_a_student):
    page, figures = read(student_client, reverse("assignments:my-playing")).split("The figures")
    assert "<p>You walk down the toms from beat 3 in 10 of 10; others in" in page
    assert '<th scope="row">You walk down the toms from beat 3</th>' in figures
    assert "Walks" not in page + figures


def test_a_student_is_never_held_against_the_other_students(student_client, beside_a_student):
    kept = KeptZone.objects.get(student=beside_a_student)
    assert any(fact[5] is not None for fact in kept.details["zone"]["facts"])
    page = read(student_client, reverse("assignments:my-playing"))
    assert "others in" in page
    assert "other students" not in page
