"""What gunicorn does beside serving; how many processes and where is said on the command line."""

import os
import shutil
import tempfile
from typing import Any

# Each process counts its requests in a file of its own; whichever is asked adds them up. This
# must stand here before anything imports the library, which looks once.
_counts = os.environ.setdefault(
    "PROMETHEUS_MULTIPROC_DIR", tempfile.mkdtemp(prefix="fillwright-metrics-")
)


def post_worker_init(worker: Any) -> None:
    """What gunicorn itself says of a request is masked as all other lines are."""
    from studio.operations.log_format import LogFormatter  # noqa: PLC0415

    for handler in worker.log.error_log.handlers:
        handler.setFormatter(LogFormatter())


def child_exit(server: Any, worker: Any) -> None:
    from prometheus_client import multiprocess  # noqa: PLC0415

    multiprocess.mark_process_dead(worker.pid)  # type: ignore[no-untyped-call]


def on_exit(server: Any) -> None:
    shutil.rmtree(_counts, ignore_errors=True)
