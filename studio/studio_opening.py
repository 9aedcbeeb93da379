"""Opening a studio, and what comes with it.

Another app adds what a new studio starts with by registering a function, in its
`AppConfig.ready`:

    on_opening(seed_ladder)
"""

from collections.abc import Callable

from django.db import transaction

from studio.models import Kit, Membership, Studio, Teacher

_callbacks: list[Callable[[Studio], object]] = []


def on_studio_created(callback: Callable[[Studio], object]) -> Callable[[Studio], object]:
    """Have `callback(studio)` run whenever a studio is opened; registering twice runs it once."""
    if callback not in _callbacks:
        _callbacks.append(callback)
    return callback


@transaction.atomic
def create_studio(name: str, timezone: str, teacher: Teacher) -> Studio:
    """Return a new studio with its teacher, a standard kit and all that other apps add.

    All or nothing: whatever a callback raises undoes the whole.
    """
    studio = Studio.objects.create(name=name, timezone=timezone)
    Membership.objects.create(studio=studio, teacher=teacher)
    Kit.objects.create(studio=studio, name="Standard kit")
    for callback in _callbacks:
        callback(studio)
    return studio
