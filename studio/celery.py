"""The worker: `celery -A studio worker`."""

import os

from celery import Celery

from studio.operations import heartbeat, task_context  # noqa: F401 - Celery tells it of each task

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

app = Celery("fillwright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
app.steps["consumer"].add(heartbeat.Heartbeat)
