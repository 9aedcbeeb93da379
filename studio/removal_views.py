"""The two pages that go with `studio.removal`: ask first, then offer to undo."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from studio.removal import Removable, StillNeededError


def ask_and_remove(
    request: HttpRequest, thing: Removable, *, consequence: str, back: str, undo: str
) -> HttpResponse:
    """Ask before removing (GET), remove (POST), then go `back` with an Undo button.

    `consequence` is a sentence that says what goes with it; `back` and `undo` are addresses.
    Where removing is refused, the page gives the reason instead of the button (409 on POST).
    """
    if request.method == "POST":
        try:
            thing.remove()
        except StillNeededError:
            return _ask(request, thing, consequence, back, undo, status=409)
        say_with_undo(request, f"“{thing}” is removed.", undo)
        return redirect(back)
    return _ask(request, thing, consequence, back, undo)


def undo(request: HttpRequest, thing: Removable, *, back: str) -> HttpResponse:
    """Bring the thing back and say so; for views that accept POST only."""
    thing.restore()
    messages.success(request, f"“{thing}” is back.")
    return redirect(back)


def say_with_undo(request: HttpRequest, text: str, undo: str) -> None:
    """Add a message with an Undo button that posts to the address `undo`.

    `base.html` takes the address from the message's extra tags.
    """
    messages.success(request, text, extra_tags=undo)


def _ask(
    request: HttpRequest,
    thing: Removable,
    consequence: str,
    back: str,
    undo: str,
    status: int = 200,
) -> HttpResponse:
    page = {
        "thing": thing,
        "kind": thing._meta.verbose_name,
        "consequence": consequence,
        "refusal": thing.removal_refusal(),
        "back": back,
        "undo": undo,
        "until": timezone.now() + thing.KEPT_REMOVED,
    }
    return render(request, "confirm_remove.html", page, status=status)
