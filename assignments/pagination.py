"""Long lists, a page at a time."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest

LINES = 20


def page_of(request: HttpRequest, things: QuerySet) -> Page:
    """Return the page that the address asks for (`?page=2`); the nearest one there is."""
    return Paginator(things, LINES).get_page(request.GET.get("page"))
