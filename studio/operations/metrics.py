"""Numbers for Prometheus that no request counts: what waits, and how the parts are.

register_backlog("renderings", lambda: Rendering.objects.overdue().count())
"""

import shutil
from collections.abc import Callable, Iterator

from django.db import DatabaseError
from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.registry import Collector

from studio.operations import health

_backlogs: dict[str, Callable[[], int]] = {}


def register_backlog(name: str, count: Callable[[], int]) -> None:
    """Have it counted how many of these wait for the worker longer than they should."""
    _backlogs[name] = count


def page() -> bytes:
    """All of it in the text format of Prometheus."""
    registry = CollectorRegistry(auto_describe=False)
    registry.register(StudioCollector())
    return generate_latest(registry)


class StudioCollector(Collector):
    def collect(self) -> Iterator[Metric]:
        states = health.parts()
        up = GaugeMetricFamily("fillwright_up", "Whether a part is well.", labels=["part"])
        for part, state in states.items():
            if state != health.UNUSED:
                up.add_metric([part], state == health.OK)
        yield up
        free = shutil.disk_usage(health.media_folder()).free
        yield GaugeMetricFamily("fillwright_media_free_bytes", "Free room in MEDIA_ROOT.", free)
        if states["database"] == health.OK:
            yield _waiting()


def _waiting() -> Metric:
    waiting = GaugeMetricFamily(
        "fillwright_overdue", "What waits for the worker for too long.", labels=["what"]
    )
    for name, count in _backlogs.items():
        try:
            waiting.add_metric([name], count())
        except DatabaseError:  # before the first migration
            continue
    return waiting
