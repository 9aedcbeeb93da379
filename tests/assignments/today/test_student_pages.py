"""A student's own pages, beside the kit."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from assignments.days import DAY
from assignments.practice.practice_log import confirm
from tests.assignments.making import PARADIDDLE, first_fill, give, logged, make_rule_set
from tests.assignments.pages import address, text

pytestmark = pytest.mark.django_db
TODAY = reverse("assignments:today")
PLAY = reverse("assignments:play")
GAINED = reverse("assignments:week-gained")
PROGRESS = reverse("assignments:my-progress")
FILLS = reverse("assignments:my-fills")


class TestWhatSpeaksForAFill:
    def test_its_page_shows_number_effort_and_top_tempo(self, student_client, student):
        fill = first_fill(give(student, 1, tempo=60))
        page = text(student_client.get(address("fill", fill)))
        assert f'Fill <span class="figure">{fill.number:,}</span> of' in page
        assert f'{fill.effort}, playable to <span class="figure">{fill.top_tempo}</span>' in page

    def test_hands_that_no_rule_fixes_are_called_a_proposal(self, student_client, student):
        fill = first_fill(give(student, 1))
        assert "are a proposal" in text(student_client.get(address("fill", fill)))

    def test_hands_of_a_sticking_are_no_proposal(self, student_client, student, studio):
        fill = first_fill(give(student, 1, rule_set=make_rule_set(studio, PARADIDDLE, "Para")))
        assert "are a proposal" not in text(student_client.get(address("fill", fill)))


class TestToday:
    def test_the_link_leads_to_it(self, student_client):
        assert student_client.get(reverse("studio:home")).url == TODAY

    def test_says_what_to_play_and_how_fast(self, student_client, student):
        fill = first_fill(give(student, 2, tempo=80))
        page = text(student_client.get(TODAY))
        assert str(fill) in page
        assert "14 times at 56" in page
        assert "New today" in page

    def test_says_each_fill_once(self, student_client, student, day):
        for number, fill in enumerate(give(student, 3).variations.all()):
            logged(student, 1, day - (number + 1) * DAY, fill)
        lines = student_client.get(TODAY).context["today"].lines
        page = text(student_client.get(TODAY))
        for fill in {line.fill.pk: line.fill for line in lines}.values():
            assert page.count(f'href="{address("fill", fill)}"') == 1

    def test_one_button_starts_the_plan(self, student_client, student):
        give(student, 2)
        page = text(student_client.get(TODAY))
        assert page.count("data-stage-open>Start</button>") == 1

    def test_as_many_minutes_as_there_are(self, student_client, student):
        give(student, 2)
        page = text(student_client.get(TODAY, {"minutes": "10"}))
        assert "<h1>Today, 10 minutes</h1>" in page

    @pytest.mark.parametrize("minutes", ["-1", "0", "61", "9999", "five", "", "5.5"])
    def test_impossible_minutes_are_refused_beside_the_field(
        self, student_client, student, minutes
    ):
        give(student, 2)
        response = student_client.get(TODAY, {"minutes": minutes})
        assert response.status_code == 200
        assert response.context["form"].errors["minutes"] == [
            "Give whole minutes from 1 to 60, such as 5."
        ]
        assert response.context["today"].plan.minutes == 5

    def test_what_the_teacher_wrote_stands_above(self, student_client, student):
        give(student, 1, note="Slowly first")
        page = text(student_client.get(TODAY))
        assert page.index("Slowly first") < page.index("New today")

    def test_minutes_done_today_are_shown(self, student_client, student, day, assignment):
        logged(student, 2, day)
        page = text(student_client.get(TODAY))
        assert '<strong class="figure">2 min</strong> done' in page
        assert "Go on" in page

    def test_once_all_is_done_it_says_what_the_week_has_brought(
        self, student_client, student, day, variation
    ):
        logged(student, 5, day)
        logged(student, 5, day, variation)
        page = text(student_client.get(TODAY))
        assert "Again" in page
        assert "This week: 1 fill, 10 min, 1 day." in page

    def test_a_due_date_that_has_gone_is_not_held_against_anybody(
        self, student_client, student, day
    ):
        give(student, 1, due_on=day - 9 * DAY)
        assert "due" not in text(student_client.get(TODAY)).partition("<main")[2]

    def test_the_cautions_are_there(self, student_client, assignment):
        page = text(student_client.get(TODAY))
        for caution in ("Protect your ears", "Warm up first", "Stop if it hurts"):
            assert caution in page

    def test_without_fills_there_is_a_groove_to_begin_with(self, student_client):
        page = text(student_client.get(TODAY))
        assert "No fills from your teacher yet." in page
        assert "Start with a groove" in page

    def test_a_day_ends_by_the_clock_of_the_studio(self, student_client, student, monkeypatch):
        """Half past eleven at night in UTC is the next day in Berlin."""
        late = (datetime.now(UTC) + DAY).replace(hour=23, minute=30)
        monkeypatch.setattr("django.utils.timezone.now", lambda: late)
        give(student, 1)
        logged(student, 5, late.date() + DAY)
        assert '<strong class="figure">5 min</strong> done' in text(student_client.get(TODAY))

    def test_of_many_fills_that_can_wait_the_first_are_shown(self, student_client, student):
        for seed in (1, 2):
            give(student, 24, seed=seed)
        page = text(student_client.get(TODAY))
        waiting = page[page.index("more that can wait") :].split("</details>")[0]
        assert waiting.count("<li>") == 20
        assert f'<a href="{FILLS}">All of them, in My fills</a>' in waiting

    def test_asks_as_often_for_many_fills_as_for_few(
        self, student_client, student, django_assert_num_queries
    ):
        give(student, 20)
        student_client.get(TODAY)  # asks for what the stage shows
        # Session, link with student and studio; fills, their mastery, the log, today's entries;
        # pictures of those of today; the grooves they may change to; what the stage shows.
        with django_assert_num_queries(9):
            student_client.get(TODAY)


class TestWhatTheWeekHasBrought:
    def test_is_said_by_itself(self, student_client, student, day, variation):
        logged(student, 5, day, variation, tempo=80)
        assert text(student_client.get(GAINED)).strip() == (
            '<p class="gained">This week: 1 fill, 5 min, 1 day.</p>'
        )

    def test_is_nothing_before_the_first_practice(self, student_client, variation):
        assert text(student_client.get(GAINED)).strip() == ""

    def test_is_never_kept_by_a_cache(self, student_client):
        assert "no-store" in student_client.get(GAINED)["Cache-Control"]

    def test_a_week_begins_by_the_clock_of_the_studio(
        self, student_client, student, variation, monkeypatch
    ):
        """Half past eleven on Sunday night in UTC is Monday in Berlin."""
        sunday = datetime(2026, 11, 29, 23, 30, tzinfo=UTC)
        monkeypatch.setattr("django.utils.timezone.now", lambda: sunday)
        logged(student, 5, sunday.date(), variation)
        assert text(student_client.get(GAINED)).strip() == ""

    def test_asks_as_often_for_many_fills_as_for_few(
        self, student_client, student, day, django_assert_num_queries
    ):
        for fill in give(student, 12).variations.all():
            logged(student, 1, day, fill, tempo=80)
        # Session, link with student and studio; fills, the log.
        with django_assert_num_queries(4):
            student_client.get(GAINED)


class TestPlay:
    def test_its_address_leads_to_today_with_the_stage_ready(self, student_client):
        assert student_client.get(PLAY).url == f"{TODAY}#stage"

    def test_as_many_minutes_as_were_asked_for_are_kept(self, student_client):
        assert student_client.get(PLAY, {"minutes": "10"}).url == f"{TODAY}?minutes=10#stage"


class TestFill:
    def test_says_its_place_and_how_to_practise_it(self, student_client, student):
        fill = first_fill(give(student, 3, tempo=88, block_bars=8, note="Slowly first"))
        page = text(student_client.get(address("fill", fill)))
        assert str(fill) in page
        assert "7 bars of groove, then this fill. Four times through" in page
        assert 'Asked <span class="figure">88</span>' in page
        assert "Slowly first" in page

    def test_shows_notation_with_sticking_count_line_and_legend(
        self, student_client, student, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            fill = first_fill(give(student))
        page = text(student_client.get(address("fill", fill)))
        assert '<figure class="notation">' in page
        assert 'aria-label="Surfaces"' in page

    def test_leads_on_to_the_next_one(self, student_client, assignment):
        first, second, _ = assignment.variations.order_by("position")
        assert f'rel="next" href="{address("fill", second)}"' in text(
            student_client.get(address("fill", first))
        )

    def test_the_cautions_are_there(self, student_client, variation):
        assert "Stop if it hurts" in text(student_client.get(address("fill", variation)))


class TestMyProgress:
    def test_days_in_a_row_with_one_off(self, student_client, student, day):
        for ago in (0, 2, 3):
            logged(student, 5, day - ago * DAY)
        page = text(student_client.get(PROGRESS))
        assert '<span class="figure">3</span> days in a row, with 1 day off in between.' in page
        assert '<span class="figure">15 min</span> in four weeks' in page

    def test_how_the_tempo_climbed(self, student_client, student, day, variation):
        logged(student, 5, day - 3 * DAY, variation, tempo=60)
        logged(student, 5, day - DAY, variation, tempo=72)
        page = text(student_client.get(PROGRESS))
        assert 'from <span class="figure">60</span> to <span class="figure">72</span>' in page
        assert f"Tempo of {variation}" in page

    def test_a_slow_day_is_no_step_back(self, student_client, student, day, variation):
        for ago, tempo in ((3, 60), (2, 72), (1, 50)):
            logged(student, 5, day - ago * DAY, variation, tempo=tempo)
        (climb,) = student_client.get(PROGRESS).context["climbs"]
        assert [tempo for _, tempo in climb.tempi] == [60, 72, 72]
        assert [tempo for _, tempo in climb.steps_in_words] == [60, 72]

    def test_what_holds(self, student_client, variation, teacher):
        confirm(variation, teacher)
        page = text(student_client.get(PROGRESS))
        assert 'What holds <span class="soft figure">1</span>' in page

    def test_nobody_is_compared_with_anybody(self, student_client, student, classmate, day):
        logged(student, 5, day)
        logged(classmate, 50, day)
        page = text(student_client.get(PROGRESS))
        assert str(classmate) not in page
        assert "50 min" not in page

    def test_before_the_first_practice_it_says_what_it_is_for(self, student_client):
        assert "It begins with the first five minutes" in text(student_client.get(PROGRESS))

    def test_asks_as_often_for_much_practice_as_for_little(
        self, student_client, student, day, django_assert_num_queries
    ):
        for fill in give(student, 12).variations.all():
            logged(student, 5, day, fill, tempo=80)
        # Session, link with student and studio; minutes, how many are mastered, how many
        # hold; fills with a tempo and their number, those of the page, their pictures, tempi.
        with django_assert_num_queries(10):
            student_client.get(PROGRESS)
