"""The worker's job for renderings. May run twice, or again after its worker was lost."""

from celery import shared_task

from rhythms.renderings import rendering_maker


@shared_task(name="rhythms.tasks.render", acks_late=True)
def render(key: str) -> None:
    """Make one rendering."""
    rendering_maker.make(key)
