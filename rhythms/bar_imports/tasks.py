"""The worker's job for files that teachers bring. May run twice without harm."""

from celery import shared_task

from rhythms.bar_imports import import_reader


@shared_task(name="rhythms.tasks.read_file", acks_late=True)
def read_file(pk: str) -> None:
    """Read one file that a teacher sent."""
    import_reader.read_import(pk)
