"""Where Celery finds the worker's jobs of this app, and the sweep over all of them.

Names are what waiting messages and the beat hold: they stay where a module moves.
"""

from celery import shared_task
from django.utils import timezone

from rhythms.bar_imports.tasks import read_file
from rhythms.models import BarImport, Rendering
from rhythms.renderings.rendering_maker import discard_outlived
from rhythms.renderings.tasks import make_file, render, task_for
from studio.task_queue import enqueue

__all__ = ["make_file", "read_file", "render", "sweep"]


@shared_task(name="rhythms.tasks.sweep")
def sweep(failed: bool = False) -> int:
    """Ask again for what is still not made; returns how many. With `failed`, for those too.

    Old sheets and audio files are swept out.
    """
    discard_outlived()
    _sweep_files()
    lost = Rendering.objects.overdue()
    if failed:
        lost |= Rendering.objects.failed()
    forms = dict(lost.values_list("key", "format"))
    Rendering.objects.ask_for(forms)
    for form in set(forms.values()):
        enqueue(task_for(form), [key for key in forms if forms[key] == form])
    return len(forms)


def _sweep_files() -> None:
    """Ask again for files that nobody read, and forget those read long ago."""
    BarImport.objects.old().delete()
    lost = [str(pk) for pk in BarImport.objects.overdue().values_list("pk", flat=True)]
    BarImport.objects.filter(pk__in=lost).update(asked_at=timezone.now())
    enqueue(read_file, lost)
