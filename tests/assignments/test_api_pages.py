"""Lists of the API come a page at a time; headers lead through all of it."""

import pytest
from django.urls import reverse

from assignments.models import PracticeEntry, Take
from assignments.takes.api import TakePages
from studio.api_pages import LinkedPages
from tests.assignments.making import give, logged, taken

pytestmark = pytest.mark.django_db

LISTS = ["api-practice-entries", "api-variations", "api-takes"]


@pytest.fixture
def small_pages(monkeypatch):
    for pages in (LinkedPages, TakePages):
        monkeypatch.setattr(pages, "page_size", 2)


@pytest.fixture
def five_of_each(student, day):
    fill = give(student, 5).variations.first()
    for minutes in range(1, 6):
        logged(student, minutes, day)
        taken(student, fill)


@pytest.fixture
def read(student_client):
    """All pages of a list, each as it is linked from the one before."""

    def pages(name):
        address, found = reverse(f"assignments:{name}"), []
        while address:
            answer = student_client.get(address)
            assert answer.status_code == 200
            assert answer["X-Total-Count"] == "5"
            found.append([one["id"] for one in answer.json()])
            links = dict(
                reversed(link.split("; ")) for link in answer.get("Link", "").split(", ") if link
            )
            address = links.get('rel="next"', "").strip("<>")
        return found

    return pages


@pytest.mark.parametrize("name", LISTS)
def test_each_item_is_on_one_page(small_pages, five_of_each, read, name):
    pages = read(name)
    assert [len(page) for page in pages] == [2, 2, 1]
    assert len({item for page in pages for item in page}) == 5


def test_pages_go_from_the_newest_to_the_oldest(small_pages, five_of_each, read):
    shown = [str(item) for page in read("api-practice-entries") for item in page]
    assert shown == [str(pk) for pk in PracticeEntry.objects.values_list("pk", flat=True)]


@pytest.mark.parametrize("name", LISTS)
def test_a_list_that_fits_on_a_page_has_no_links(student_client, entry, take, name):
    assert "Link" not in student_client.get(reverse(f"assignments:{name}"))


@pytest.mark.parametrize("page", ["0", "9", "two", "9" * 5000])
def test_a_page_that_is_not_there_is_said_to_be_none(student_client, page):
    answer = student_client.get(reverse("assignments:api-takes"), {"page": page})
    assert (answer.status_code, answer.json()["detail"]) == (404, "Invalid page.")


def test_a_page_of_takes_is_short_since_each_has_all_its_strokes(student, student_client, day):
    Take.objects.bulk_create(
        Take(student=student, source="pads", seconds=1, day=day, events=[]) for _ in range(21)
    )
    assert len(student_client.get(reverse("assignments:api-takes")).json()) == 20
