"""How many takes a student may have: looking at one can take seconds of a worker."""

from datetime import timedelta

from assignments.models import Take
from studio.row_limits import allowed_again, at_the_clock, counted

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
#: More than anybody plays.
LIMITS = {HOUR: 60, DAY: 200}
#: That nobody has looked at yet.
MOST_WAITING = 10


class NotTakenError(Exception):
    """Raised where a take is not kept; says why in a sentence."""

    code = "not-taken"


class TooManyTakesError(NotTakenError):
    """Raised where a student has had too many takes."""

    code = "too-many"


def refuse_too_many(take: Take) -> None:
    """Raise TooManyTakesError where this new take is one too many; removed ones count."""
    others = Take.objects.filter(student=take.student).exclude(pk=take.pk)
    lately = counted(others, "created_at", LIMITS)
    earlier = list(lately.values_list("created_at", "analysed_at", "state"))
    times = [created_at for created_at, _, _ in earlier]
    if again := allowed_again(times, LIMITS):
        raise TooManyTakesError(
            "Those were many takes in a short time. "
            f"The next one can be sent {at_the_clock(again)}."
        )
    new = [state for _, analysed_at, state in earlier if analysed_at is None]
    if new.count(Take.State.WAITING) >= MOST_WAITING:
        raise TooManyTakesError(
            f"{MOST_WAITING} takes are still to be looked at. "
            "This one can be sent as soon as one of them is done, in a minute or two."
        )
