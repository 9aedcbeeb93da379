"""The worker's jobs. Each may run twice, or again after its worker was lost, without harm."""

from celery import shared_task
from django.utils import timezone

from rhythms import engraving, file_reading
from rhythms.models import BarImport, Rendering


@shared_task(acks_late=True)
def render(key: str) -> None:
    """Make one rendering."""
    engraving.make(key)


@shared_task(acks_late=True)
def read_file(pk: str) -> None:
    """Read one file that a teacher sent."""
    file_reading.read_in(pk)


@shared_task
def sweep(failed: bool = False) -> int:
    """Ask again for what is still not made; returns how many. With `failed`, for those too.

    Old sheets and audio files are swept out.
    """
    engraving.discard_outlived()
    _sweep_files()
    lost = Rendering.objects.overdue()
    keys = list(
        (lost | Rendering.objects.failed() if failed else lost).values_list("key", flat=True)
    )
    Rendering.objects.ask_for(keys)
    for key in keys:
        render.delay(key)
    return len(keys)


def _sweep_files() -> None:
    """Ask again for files that nobody read, and forget those read long ago."""
    BarImport.objects.old().delete()
    lost = [str(pk) for pk in BarImport.objects.overdue().values_list("pk", flat=True)]
    BarImport.objects.filter(pk__in=lost).update(asked_at=timezone.now())
    for pk in lost:
        read_file.delay(pk)
