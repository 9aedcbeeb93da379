"""Taking in what a student played: keep it, have it looked at, look at it."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db import transaction

from assignments.days import today_in
from assignments.models import AssignedVariation, KitMap, Take
from assignments.takes.take_analysis import seconds_of
from assignments.takes.take_limits import NotTakenError, refuse_too_many
from assignments.takes.tasks import analyse_take
from rhythms.engine.bars.feel import EIGHTHS, Feel
from rhythms.engine.takes import MOST_MS
from studio import task_queue
from studio.models import Student

#: How unsteady each way of catching strokes is by itself, as a standard deviation in ms: touch
#: screens and keyboards report every 8 to 16 ms, MIDI by wire within about 3 (common practice).
JITTER = {
    Take.Source.PADS: 6.0,
    Take.Source.LIVE: 3.0,
    Take.Source.FILE: 2.0,
    Take.Source.LESSON: 0.0,
}
#: As which a take is counted where a tempo of twice or half the given one was said.
SAID, GIVEN = "said", "given"
#: A take ends after so many seconds.
MOST_SECONDS = MOST_MS // 1000


@dataclass(frozen=True)
class TakeInput:
    """What was caught, by whatever way; see the model for the units."""

    source: str
    events: Sequence[Sequence[float]]
    meter: str = "4/4"
    tempo: int | None = None
    click: dict[str, float] | None = None
    latency: float | None = None
    seconds: float = 0.0
    variation: AssignedVariation | None = None
    swing: int | None = None
    swing_unit: str = EIGHTHS
    id: uuid.UUID = field(default_factory=uuid.uuid4)


class TakenDifferentlyError(NotTakenError):
    """Raised where an id is taken already, by another take."""

    code = "taken-differently"

    def __init__(self) -> None:
        super().__init__("There is already a take with this id, and it is another one.")


@transaction.atomic
def create_take(student: Student, caught: TakeInput) -> tuple[Take, bool]:
    """Return the student's take, and whether it is new; its analysis is queued on commit.

    Sending the same again changes nothing. Raises TakenDifferentlyError where the id is
    that of another take, and TooManyTakesError.
    """
    content = {
        "student": student,
        "variation": caught.variation,
        "source": caught.source,
        "meter": _meter(caught),
        "tempo": caught.tempo,
        "events": [list(event) for event in caught.events],
        "click": caught.click,
        "latency": caught.latency,
        "swing": caught.swing,
        "swing_unit": caught.swing_unit,
    }
    beside = {
        "seconds": caught.seconds or seconds_of(caught.events),
        "jitter": JITTER[Take.Source(caught.source)],
        "day": today_in(student.studio),
    }
    take, is_new = Take.objects.get_or_create(pk=caught.id, defaults=content | beside)
    if not is_new and any(getattr(take, name) != value for name, value in content.items()):
        raise TakenDifferentlyError
    if is_new:
        refuse_too_many(take)
        task_queue.enqueue_on_commit(analyse_take, [take.pk])
    return take, is_new


@transaction.atomic
def create_take_from_file(
    student: Student,
    data: bytes,
    name: str,
    *,
    id: uuid.UUID | None = None,
    variation: AssignedVariation | None = None,
    meter: str = "4/4",
) -> Take:
    """Return a take of a MIDI file that the worker is yet to read.

    A second one with the same id is the first. Raises TakenDifferentlyError where that is
    another student's, and TooManyTakesError.
    """
    content = {
        "student": student,
        "variation": variation,
        "source": Take.Source.FILE,
        "meter": str(variation.as_fill.bar.meter) if variation else meter,
        "seconds": 0,
        "jitter": JITTER[Take.Source.FILE],
        "upload": data,
        "file_name": name[:100],
        "day": today_in(student.studio),
    }
    take, is_new = Take.objects.get_or_create(pk=id or uuid.uuid4(), defaults=content)
    if take.student_id != student.pk:
        raise TakenDifferentlyError
    if is_new:
        refuse_too_many(take)
        task_queue.enqueue_on_commit(analyse_take, [take.pk])
    return take


def reanalyse(take: Take) -> None:
    """Have a take looked at once more: with another kit map, or after something went wrong."""
    Take.objects.ask_for([take.pk])
    task_queue.enqueue_on_commit(analyse_take, [take.pk])
    take.refresh_from_db()


def read_at(take: Take, tempo: int | None, feel: Feel | None) -> None:
    """Have a take looked at once more, as somebody says it was played.

    Without a tempo as it goes, without a feel as it was asked for.
    """
    take.counted_as_said = take.counted_as_said and take.said_tempo == tempo
    take.said_tempo = tempo
    take.swing, take.swing_unit = (feel.swing, feel.unit) if feel else (None, EIGHTHS)
    take.save(update_fields=["said_tempo", "counted_as_said", "swing", "swing_unit"])
    reanalyse(take)


def count_as(take: Take, counted: str) -> None:
    """Have a take looked at once more, counted as was said, or as the click or file has it.

    Without a question, since nothing was said or nothing given, nothing happens.
    """
    if not (take.said_tempo and take.click):
        return
    if counted == SAID:
        take.counted_as_said = True
    else:
        take.said_tempo = round(take.click["tempo"])
    take.save(update_fields=["said_tempo", "counted_as_said"])
    reanalyse(take)


def learn_kit(student: Student, keys: dict[int, str]) -> KitMap:
    """Keep what the student's kit sends, and look again at all that it sent before."""
    shown = {str(key): surface for key, surface in sorted(keys.items())}
    learnt, _ = KitMap.objects.update_or_create(student=student, defaults={"keys": shown})
    by_kit = [Take.Source.FILE, Take.Source.LIVE]
    pks = list(Take.objects.of(student).filter(source__in=by_kit).values_list("pk", flat=True))
    Take.objects.ask_for(pks)
    task_queue.enqueue_on_commit(analyse_take, pks)
    return learnt


def _meter(caught: TakeInput) -> str:
    return str(caught.variation.as_fill.bar.meter) if caught.variation else caught.meter
