"""A fill that is stuck: Today has a simpler form of it, the stage plays that, the teacher knows."""

import re
from datetime import timedelta

import pytest
from django.db.models import Q
from playwright.sync_api import Page, expect

from assignments.models import AssignedVariation
from assignments.planner.easier import FEWER_DRUMS, WORDS
from assignments.today.today import today_of
from rhythms.notation.fill_text import description
from tests.assignments.making import first_fill, give_short, logged
from tests.browser.page_checks import assert_accessible
from tests.browser.signing_in import open_as
from tests.browser.test_stage_through_the_day import kept_by_the_server

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def stuck(student, day) -> AssignedVariation:
    """A block of four short bars, begun three weeks ago; since then one in four clean, at 200."""
    assignment = give_short(student, seed=2)
    assignment.created_at -= timedelta(days=30)
    assignment.save()
    fill = first_fill(assignment)
    for ago in (21, 18, 14, 9, 5, 2):
        on = day - timedelta(days=ago)
        logged(student, 1, on, fill, tempo=200, loops=12, clean_loops=3)
    return first_fill(assignment)


@pytest.fixture
def easier(student, day, stuck):
    [line] = today_of(student, day).each
    assert line.main.easier.kind == FEWER_DRUMS
    return line.main.easier


def test_today_shows_it_with_its_reason_and_its_own_picture(screen, student, stuck, easier):
    screen.set_default_timeout(30_000)
    page = open_as(screen, student, "/today/")
    line = page.locator(".today-lines li")
    expect(line.locator(".today-why")).to_have_text(WORDS[FEWER_DRUMS])
    expect(line).to_contain_text(f"at {easier.tempo}")
    expect(line.locator(".fill-picture path").first).to_be_visible()
    told = line.locator(".fill-picture desc").text_content()
    struck = {surface.value for surface in easier.fill.surfaces}
    left_out = {surface.value for surface in stuck.as_fill.surfaces} - struck
    assert left_out
    assert all(name in told for name in struck)
    assert not any(name in told for name in left_out)
    assert description(stuck.as_fill) != told
    assert_accessible(page)


def test_it_is_heard_as_it_is_shown(phone, student, stuck, easier):
    page = open_as(phone, student, "/today/")
    line = page.locator(".today-lines li")
    line.get_by_role("button", name="Hear").click()
    expect(line.get_by_role("button", name="Stop")).to_be_visible()
    expect(line.get_by_role("button", name="Hear")).to_be_visible()
    assert f"/variations/{stuck.pk}/heard.json" not in page.content()


def go_to(page: Page, title: str) -> None:
    """By the key for the next fill, from the first of the day."""
    for _ in range(6):
        if title in page.locator("[data-stage-title]").inner_text():
            return
        page.keyboard.press("ArrowDown")
        page.wait_for_timeout(300)
    raise AssertionError(f"no {title} in this run")


def test_the_stage_plays_it_and_what_is_kept_says_so(phone, student, teacher, stuck, easier, day):
    phone.set_default_timeout(30_000)
    page = open_as(phone, student, "/today/?minutes=1")
    page.locator("[data-stage-open]").click()
    go_to(page, WORDS[FEWER_DRUMS])
    expect(page.locator("[data-stage-tempo]")).to_have_text(str(easier.tempo))
    written = page.locator("[data-stage-notation] svg g.stroke")
    expect(written).to_have_count(len(easier.fill.strokes))
    expect(page.locator("[data-stage-times]")).to_have_text(re.compile(r"^3/"), timeout=60_000)
    page.get_by_role("button", name="End").click()
    page.get_by_role("button", name="All clean").click()
    [entry] = kept_by_the_server(page, Q(easier=True, clean_loops__isnull=False))
    assert (entry.variation, entry.tempo) == (stuck, easier.tempo)
    assert entry.loops == entry.clean_loops == 2
    stuck.refresh_from_db()
    assert stuck.mastered_at is None


def test_the_teacher_reads_what_today_offers_and_since_when(
    screen, teacher, student, stuck, easier
):
    page = open_as(screen, teacher, f"/students/{student.pk}/")
    expect(page.locator("main")).to_contain_text(
        f"Mira has been at 200 for three weeks with {stuck}: "
        f"Today offers it with fewer drums, at {easier.tempo}."
    )
    assert_accessible(page)
