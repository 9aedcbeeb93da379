"""Long lists: a page at a time, and found by words."""

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, QueryDict

T = TypeVar("T")
LINES = 20
#: Nobody looks for more than so many letters.
_LONGEST = 100


class ListPage(Page):
    """A page of one of the lists of a page; `name` is what the address calls its number."""

    name = "page"
    query = QueryDict()

    @property
    def before(self) -> str:
        """The address of the page before, from its question mark on."""
        return self._address(self.previous_page_number())

    @property
    def after(self) -> str:
        """The address of the next page, from its question mark on."""
        return self._address(self.next_page_number())

    def _address(self, number: int) -> str:
        query = self.query.copy()
        query[self.name] = str(number)
        return f"?{query.urlencode()}"


class _Lists(Paginator):
    def _get_page(self, *args: Any, **kwargs: Any) -> ListPage:
        return ListPage(*args, **kwargs)


def page_of(
    request: HttpRequest, things: QuerySet | Sequence[Any], name: str = "page", lines: int = LINES
) -> ListPage:
    """Return the page that the address asks for (`?page=2`); the nearest one there is."""
    page: ListPage = _Lists(things, lines).get_page(request.GET.get(name))  # type: ignore[assignment]
    page.name, page.query = name, request.GET
    return page


def wanted_in(request: HttpRequest) -> str:
    """Return what the address looks for (`?q=mi`); "" where it looks for nothing."""
    return request.GET.get("q", "").replace("\0", "").strip()[:_LONGEST]


def is_in(wanted: str, *texts: str) -> bool:
    """Whether one of the texts has it in it, whatever letters are capitals."""
    return any(wanted.casefold() in text.casefold() for text in texts)


def found_in(things: Iterable[T], wanted: str, *fields: str) -> list[T]:
    """Return those that have what is looked for in one of these fields.

    Not asked of the database: what it knows of letters beyond A to Z depends on its sort, and
    on the language of the machine.
    """
    return [one for one in things if is_in(wanted, *(getattr(one, name) for name in fields))]
