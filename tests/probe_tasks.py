"""Worker and beat of the site with tasks for tests: `celery -A tests.probe_tasks worker`."""

import os
import time

from studio import worker_watch
from studio.celery import app
from studio.task_routes import QUICK, SLOW

#: Set it in the surroundings of a worker or a beat that is to lose patience soon.
IMPATIENT = "IMPATIENT"
#: Seconds that work may wait then.
DEAF_AFTER = 1

NUDGE, NAP = "tests.nudge", "tests.nap"


@app.task(name=NUDGE)
def nudge() -> None:
    """Sent by the beat each second."""


@app.task(name=NAP)
def nap(seconds: float) -> None:
    """Keep a worker's hand full."""
    time.sleep(seconds)


app.conf.beat_schedule = {"nudge": {"task": NUDGE, "schedule": 1, "options": {"queue": SLOW}}}
app.conf.task_routes = app.conf.task_routes | {NUDGE: {"queue": SLOW}, NAP: {"queue": QUICK}}
if IMPATIENT in os.environ:
    worker_watch.EVERY, worker_watch.DEAF_AFTER, worker_watch.STILL_AFTER = 0.2, DEAF_AFTER, 4
