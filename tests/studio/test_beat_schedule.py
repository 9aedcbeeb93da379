"""What the worker does by itself."""

from django.conf import settings

from studio.celery import app


def test_every_scheduled_task_is_one_that_the_worker_knows():
    app.loader.import_default_modules()
    scheduled = {entry["task"] for entry in settings.CELERY_BEAT_SCHEDULE.values()}
    assert scheduled - set(app.tasks) == set()
