"""The worker's jobs for renderings. May run twice, or again after their worker was lost."""

from celery import Task, shared_task

from rhythms.renderings import rendering_maker


@shared_task(name="rhythms.tasks.render", acks_late=True)
def render(key: str) -> None:
    """Make one engraving; or any rendering that an older version asked for."""
    rendering_maker.make(key)


@shared_task(name="rhythms.tasks.make_file", acks_late=True)
def make_file(key: str) -> None:
    """Make a sheet or an audio file, which takes longer."""
    rendering_maker.make(key)


def task_for(form: str) -> Task:
    """The task that makes renderings of this format: so each waits in the queue that suits it."""
    return render if form == "svg" else make_file
