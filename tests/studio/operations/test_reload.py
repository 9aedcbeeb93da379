"""A web process is exchanged for a new one without anybody waiting, or anything piling up."""

import signal
import sys
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from tests import services
from tests.thoroughness import amount

pytestmark = pytest.mark.services

#: Answers with the number of its process; boots once it may.
APP = """
import os, pathlib, time
while not pathlib.Path(os.environ["MAY_BOOT"]).exists():
    time.sleep(0.05)
from studio.wsgi import application as site
from prometheus_client import Counter
asked = Counter("asked", "Requests")

def application(environ, start_response):
    asked.inc()
    start_response("200 OK", [("Content-Type", "text/plain")])
    return [str(os.getpid()).encode()]
"""


class Site:
    def __init__(self, folder: Path) -> None:
        self.may_boot, self.counts = folder / "may-boot", folder / "counts"
        self.counts.mkdir()
        self.may_boot.touch()
        (folder / "numbered_app.py").write_text(APP)
        self.surroundings = services.environment(
            folder,
            DATABASE_URL=f"sqlite:///{folder}/db.sqlite3",
            MAY_BOOT=str(self.may_boot),
            PROMETHEUS_MULTIPROC_DIR=str(self.counts),
            PYTHONPATH=str(folder),
        )
        self.server = self._server(folder)

    def _server(self, folder: Path) -> services.Service:
        port = services.free_port()
        config = ["--config", "studio/deployment/gunicorn.conf.py", "--threads", "2"]
        return services.Service(
            [sys.executable, "-m", "gunicorn", "numbered_app", *config, "--bind", f":{port}"],
            folder / "web.log",
            lambda server: self.answer() != "",
            surroundings=self.surroundings,
            url=f"http://127.0.0.1:{port}/",
        )

    def answer(self) -> str:
        """The number of the process that answers; "" where none does in time."""
        try:
            with urlopen(self.server.url, timeout=5) as answer:
                return answer.read().decode()
        except (TimeoutError, URLError):
            return ""

    def reload(self) -> None:
        """Ask for new processes, and wait until they are booting."""
        before = self.server.output.count("Booting worker")
        self.server.process.send_signal(signal.SIGHUP)
        self.server.wait_for(lambda: self.server.output.count("Booting worker") > before)


@pytest.fixture
def site(tmp_path):
    site = Site(tmp_path)
    try:
        site.server.start()
        yield site
    finally:
        site.may_boot.touch()
        site.server.stop()


def test_the_old_process_serves_until_the_new_one_does(site):
    old = site.answer()
    site.may_boot.unlink()
    site.reload()
    assert [site.answer() for _ in range(3)] == [old] * 3
    site.may_boot.touch()
    site.server.wait_for(lambda: site.answer() not in ("", old))


def test_new_processes_go_on_counting_in_the_files_of_old_ones(site):
    for _ in range(amount(4, 2)):
        old = site.answer()
        site.reload()
        # What it counts in is free once it is gone: a moment after the new one serves.
        site.server.wait_for(lambda old=old: not Path(f"/proc/{old}").exists())
        site.server.wait_for(lambda: site.answer() != "")
    assert len(list(site.counts.glob("counter_*.db"))) == 2


def test_a_folder_for_counts_that_is_not_ours_stays(site):
    site.server.stop()
    assert site.counts.exists()
