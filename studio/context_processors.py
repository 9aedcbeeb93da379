"""What every page needs: the navigation of who is asking, and the chosen look."""

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from studio import task_queue

TEACHER_PAGES = {
    "Roster": "assignments:roster",
    "Bars": "rhythms:bars",
    "Rule sets": "rhythms:rule-sets",
    "Assign": "assignments:assign",
    "Progress": "assignments:progress",
    "Habits": "assignments:comfort",
    "Studio": "studio:students",
}
STUDENT_PAGES = {
    "Today": "assignments:today",
    "My fills": "assignments:my-fills",
}
#: Parts of the site that are reached from a page of the navigation, by its part.
_REACHED_FROM = {"fills": ("log", "my-progress", "takes", "playing")}
LOOKS = ("system", "light", "dark")
#: Sent by a device that copies a page to have it without a network.
COPY_HEADER = "X-Offline-Copy"


def page(request: HttpRequest) -> dict[str, object]:
    """Context processor: `navigation` (label, address, current), `look` and `worker_is_away`.

    A copy of a page shows no messages: they stay for the page that somebody looks at.
    """
    look = request.COOKIES.get("look")
    hidden: dict[str, object] = {"messages": []} if COPY_HEADER in request.headers else {}
    return {
        "navigation": _navigation(request),
        "worker_is_away": task_queue.breaker.server_is_away,
        "look": look if look in LOOKS else "system",
        **hidden,
    }


def _navigation(request: HttpRequest) -> list[tuple[str, str, bool]]:
    if getattr(request, "studio", None):
        pages = TEACHER_PAGES
    elif getattr(request, "student", None):
        pages = STUDENT_PAGES
    else:
        return []
    links = [(label, address_of(name)) for label, name in pages.items()]
    here = _section(request.path)
    return [(label, url, _section(url) == here) for label, url in links if url]


def _section(address: str) -> str:
    """Return the first step of an address: all that is under it belongs to one page's part."""
    first = address.split("/")[1]
    return next((part for part, others in _REACHED_FROM.items() if first in others), first)


def address_of(name: str) -> str:
    """Return the address of a page by its name, or an empty string where there is none."""
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""
