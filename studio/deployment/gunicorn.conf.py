"""What gunicorn does beside serving; how many processes and where is said on the command line.

A reload keeps the processes that there are until the new ones are ready. `preload_app` would make
those ready sooner, but of the code that the first process has read: it is reloaded for new code.
"""

import os
import shutil
import signal
import tempfile
from multiprocessing import Value
from pathlib import Path
from threading import Timer
from time import monotonic
from typing import Any

_OURS = "fillwright-metrics-"
#: Seconds that new processes may take until they serve; gunicorn's `graceful_timeout` is longer.
_READY_WITHIN = 20.0
_LOOK_EVERY = 0.1

# Each process counts its requests in files of its own; whichever is asked adds them up. This must
# stand here before anything imports the library, which looks once.
if not os.environ.get("PROMETHEUS_MULTIPROC_DIR"):
    os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix=_OURS)


def on_reload(server: Any) -> None:
    _booting(server).get_obj().value = server.cfg.workers


def pre_fork(server: Any, worker: Any) -> None:
    """Give each process a number that is free, so that it goes on with the files of an old one."""
    taken = {getattr(other, "slot", None) for other in server.WORKERS.values()}
    worker.slot = next(slot for slot in range(len(taken) + 1) if slot not in taken)
    worker.booting = _booting(server)


def post_fork(server: Any, worker: Any) -> None:
    from prometheus_client import values  # noqa: PLC0415

    values.ValueClass = values.MultiProcessValue(lambda: worker.slot)  # type: ignore[no-untyped-call]


def post_worker_init(worker: Any) -> None:
    """What gunicorn itself says of a request is masked as all other lines are."""
    from studio.operations.log_format import LogFormatter  # noqa: PLC0415

    for handler in worker.log.error_log.handlers:
        handler.setFormatter(LogFormatter())
    with worker.booting.get_lock():
        worker.booting.value = max(worker.booting.value - 1, 0)
    _end_when_others_are_ready(worker)


def child_exit(server: Any, worker: Any) -> None:
    from prometheus_client import multiprocess  # noqa: PLC0415

    multiprocess.mark_process_dead(worker.slot)  # type: ignore[no-untyped-call]


def on_exit(server: Any) -> None:
    counts = Path(os.environ["PROMETHEUS_MULTIPROC_DIR"])
    if counts.name.startswith(_OURS):
        shutil.rmtree(counts, ignore_errors=True)


def _booting(server: Any) -> Any:
    """How many processes of a reload do not serve yet: a number that all processes share."""
    if not hasattr(server, "booting"):
        server.booting = Value("i", 0)
    return server.booting


def _end_when_others_are_ready(worker: Any) -> None:
    """Have this process go on serving, where it is told to end, while new ones are booting."""
    end, told_at = signal.getsignal(signal.SIGTERM), 0.0

    def end_or_wait(*args: Any) -> None:
        nonlocal told_at
        told_at = told_at or monotonic()
        if worker.booting.get_obj().value and monotonic() < told_at + _READY_WITHIN:
            Timer(_LOOK_EVERY, os.kill, (os.getpid(), signal.SIGTERM)).start()
        elif callable(end):
            end(*args)

    signal.signal(signal.SIGTERM, end_or_wait)
