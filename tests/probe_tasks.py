"""Worker and beat of the site with tasks for tests: `celery -A tests.probe_tasks worker`.

Not to be imported by tests: it changes what the site's beat sends.
"""

import os
import time

from studio import worker_watch
from studio.celery import app
from studio.task_routes import QUICK, SLOW
from tests.studio.probing import IMPATIENT, NAP, NUDGE

#: Seconds that work may wait then.
DEAF_AFTER = 1


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
