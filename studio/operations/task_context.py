"""Tasks log on behalf of the request that asked for them, in the format of the web processes.

`studio/celery.py` imports this, so that it holds wherever tasks are asked for or done.
"""

import logging
import logging.config
from contextlib import ExitStack
from typing import Any

from celery import Task
from celery.signals import before_task_publish, setup_logging, task_postrun, task_prerun
from django.conf import settings

from studio.operations import log_context
from studio.operations.log_context import LogContext

logger = logging.getLogger(__name__)
#: The header of a message that has the id of the request.
HEADER = "request_id"
#: Tasks at once run one inside another; each is left where it ends.
_entered: dict[str, ExitStack] = {}


@setup_logging.connect
def log_as_the_web_does(loglevel: int, **_: Any) -> None:
    """That somebody listens keeps Celery from setting up logs of its own."""
    logging.config.dictConfig(settings.LOGGING)
    logging.getLogger("celery").setLevel(loglevel)


@before_task_publish.connect
def name_the_request(headers: dict[str, Any], **_: Any) -> None:
    headers[HEADER] = log_context.id_for()


@task_prerun.connect
def enter(task: Task, task_id: str, **_: Any) -> None:
    id = log_context.id_for(getattr(task.request, HEADER, None))
    _entered[task_id] = ExitStack()
    _entered[task_id].enter_context(
        log_context.work_on(LogContext(id, lambda: f"task {task.name}", _request()))
    )
    if not task.request.is_eager:
        # The worker's other lines have this id alone, where it had to end the task from outside.
        logger.info("Begun as %s", task_id)


@task_postrun.connect
def leave(task_id: str, **_: Any) -> None:
    if stack := _entered.pop(task_id, None):
        stack.close()


def _request() -> Any:
    """The request whose form is to be masked, where the task runs at once."""
    at_work = log_context.current()
    return at_work.request if at_work else None
