"""The worker: `celery -A studio worker`."""

import os
from typing import Any

from celery import Celery
from celery.signals import celeryd_after_setup
from django.conf import settings
from kombu.transport import TRANSPORT_ALIASES

from studio.operations import heartbeat, task_context  # noqa: F401 - Celery tells it of each task
from studio.task_routes import OLD, SLOW

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

#: By name, so that it is imported only where there is a broker.
TRANSPORT_ALIASES["redis"] = "studio.redis_transport:ReconnectingTransport"

app = Celery("fillwright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
app.steps["consumer"].add(heartbeat.Heartbeat)


@celeryd_after_setup.connect
def set_the_worker_up(**_: Any) -> None:
    """Serve also what a deploy left where the version before put it, and watch over the worker."""
    from studio.worker_watch import DeafWorkerWatch  # not in a web process  # noqa: PLC0415

    queues = app.amqp.queues
    if SLOW in queues.consume_from:
        queues.select_add(OLD)
    if settings.REDIS_URL:
        DeafWorkerWatch(settings.REDIS_URL, sorted(queues.consume_from)).start()
