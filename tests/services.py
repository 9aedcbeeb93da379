"""Real servers for tests: processes of ours on free ports, stopped, killed and started at will.

Each context manager yields a `Service` that answers already, and ends it; its log is in the folder
that the caller gives. What is not installed skips the test. Who uses it is marked `services`.

    with redis(tmp_path) as broker, postgresql() as database:
        surroundings = environment(tmp_path, DATABASE_URL=database.url, REDIS_URL=broker.url)
        manage(surroundings, "migrate")
        with web(tmp_path, surroundings) as site, worker(tmp_path, surroundings, "quick"):
            broker.kill()
"""

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path

import psycopg
import pytest
from redis import Redis, RedisError

ROOT = Path(__file__).resolve().parent.parent
#: What the settings read: nothing of it comes from whoever runs the tests.
OURS = (
    "ALLOWED_HOSTS",
    "CSRF_TRUSTED_ORIGINS",
    "DATABASE_URL",
    "DEBUG",
    "DJANGO_ALLOW_ASYNC_UNSAFE",
    "HTTPS",
    "MEDIA_ROOT",
    "METRICS_TOKEN",
    "PROXIES",
    "REDIS_URL",
    "SECRET_KEY",
    "STATIC_ROOT",
)
#: As the worker's commands are documented: workers of ours have nothing to tell each other.
ALONE = ("--without-gossip", "--without-mingle")
PATIENCE = 60  # seconds; more than any start needs, so that a lost one ends the wait


class Service:
    """A process with children of its own, that starts again as it was: same port, same data."""

    def __init__(
        self,
        command: list[str],
        log: Path,
        is_ready: Callable[["Service"], bool],
        *,
        surroundings: Mapping[str, str] | None = None,
        url: str = "",
        user: str | None = None,
        stop_signal: int = signal.SIGTERM,
    ) -> None:
        self.command, self.log, self.is_ready = command, log, is_ready
        self.surroundings, self.url = surroundings, url
        self.user, self.stop_signal = user, stop_signal
        self.process: subprocess.Popen | None = None
        self._log_start = 0

    def start(self) -> None:
        """Start it, and wait until it answers."""
        self.start_without_waiting()
        self.wait_for(lambda: self.is_ready(self))

    def start_without_waiting(self) -> None:
        self._log_start = self.log.stat().st_size if self.log.exists() else 0
        as_user = {"user": self.user, "group": self.user, "extra_groups": []} if self.user else {}
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                self.command,
                cwd="/" if self.user else ROOT,
                env=self.surroundings,
                stdout=log,
                stderr=log,
                start_new_session=True,
                **as_user,
            )

    def stop(self) -> None:
        """Ask it to end, as a supervisor does."""
        self._end(self.stop_signal)

    def kill(self) -> None:
        """End it and its children at once (`kill -9`)."""
        self._end(signal.SIGKILL)

    def restart(self) -> None:
        self.stop()
        self.start()

    @property
    def is_running(self) -> bool:
        return self.process is not None and self.process.poll() is None

    @property
    def output(self) -> str:
        """What it has written since it was last started."""
        return self.log.read_bytes()[self._log_start :].decode(errors="replace")

    def wait_for(self, what: Callable[[], bool], seen: Callable[[], object] = lambda: "") -> None:
        """Wait until `what` holds; fails where it does not, or where the process ends.

        A failure shows what was last `seen`, and what the process has written.
        """
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if what():
                return
            if not self.is_running:
                break
            time.sleep(0.05)
        why = f"{self.command} did not do it within {PATIENCE} s, or ended: {seen()}"
        pytest.fail(f"{why}\n{self.output}")

    def wait_for_line(self, text: str) -> None:
        """Wait until it has written this since it was last started."""
        self.wait_for(lambda: text in self.output)

    def _end(self, number: int) -> None:
        if self.process is None:
            return
        # Only who is killed leaves children behind; who is asked ends them itself.
        children = self._stopped_children() if number == signal.SIGKILL else []
        for pid in (self.process.pid, *children):
            with suppress(ProcessLookupError):
                os.kill(pid, number)
        try:
            self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.kill()
            raise
        while any(map(is_running, children)):
            time.sleep(0.001)
        self.process = None

    def _stopped_children(self) -> list[int]:
        """The children of the process, which makes no more of them. PostgreSQL's are in groups of
        their own, and would serve on for a moment without it."""
        with suppress(ProcessLookupError):
            os.kill(self.process.pid, signal.SIGSTOP)
        return list(_children(self.process.pid))


@contextmanager
def redis(folder: Path) -> Iterator[Service]:
    """A Redis that keeps nothing on disk: what it held is gone when it starts again."""
    port = free_port()
    command = [_program("redis-server"), "--bind", "127.0.0.1", "--port", str(port), "--save", ""]
    server = Service(
        [*command, "--appendonly", "no", "--dir", str(folder)],
        folder / "redis.log",
        lambda _: _answers_ping(port),
        url=f"redis://127.0.0.1:{port}/0",
    )
    yield from _running(server)


@contextmanager
def postgresql() -> Iterator[Service]:
    """A PostgreSQL server with an empty database, which survives the server's being killed."""
    initdb = Path(_program("initdb", *sorted(Path("/usr/lib/postgresql").glob("*/bin"))[-1:]))
    # PostgreSQL refuses to run as root, and its own user may not look into pytest's folders.
    user = "postgres" if os.geteuid() == 0 else None
    with tempfile.TemporaryDirectory(prefix="fillwright-postgresql-") as name:
        folder, port = Path(name), free_port()
        data = folder / "data"
        data.mkdir()
        if user:
            folder.chmod(0o755)
            shutil.chown(data, user, user)
        as_user = {"user": user, "group": user, "extra_groups": []} if user else {}
        options = [
            "-U",
            "fillwright",
            "--auth=trust",
            "--encoding=UTF8",
            "--no-locale",
            "--no-sync",
        ]
        made = [str(initdb), "-D", str(data), *options]
        subprocess.run(made, check=True, capture_output=True, cwd="/", **as_user)
        server = Service(
            [
                *(str(initdb.with_name("postgres")), "-D", str(data), "-p", str(port)),
                *("-c", "fsync=off"),  # it need not outlive the machine, only its processes
                *("-c", "listen_addresses=127.0.0.1", "-c", f"unix_socket_directories={data}"),
            ],
            folder / "postgresql.log",
            lambda server: _takes_connections(server.url),
            url=f"postgres://fillwright@127.0.0.1:{port}/postgres",
            user=user,
            stop_signal=signal.SIGINT,  # ends connections, does not wait for them
        )
        yield from _running(server)


def environment(folder: Path, **more: str) -> dict[str, str]:
    """The surroundings of a live studio on this machine; `more` as in the README's table."""
    inherited = {name: value for name, value in os.environ.items() if name not in OURS}
    return inherited | {
        "DEBUG": "false",
        "HTTPS": "false",
        "ALLOWED_HOSTS": "127.0.0.1",
        "SECRET_KEY": "long and random enough" * 3,
        "DATABASE_URL": f"sqlite:///{folder / 'db.sqlite3'}",
        "MEDIA_ROOT": str(folder / "media"),
        **more,
    }


def manage(surroundings: Mapping[str, str], *arguments: str) -> str:
    """Run a command of manage.py and return what it prints; raises where it fails."""
    command = [sys.executable, "manage.py", *arguments]
    done = subprocess.run(
        command, cwd=ROOT, env=dict(surroundings), capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@contextmanager
def web(folder: Path, surroundings: Mapping[str, str], processes: int = 1) -> Iterator[Service]:
    """The site, by gunicorn."""
    port = free_port()
    config = ["--config", "studio/deployment/gunicorn.conf.py", "--workers", str(processes)]
    command = [sys.executable, "-m", "gunicorn", "studio.wsgi", *config]
    server = Service(
        [*command, "--bind", f"127.0.0.1:{port}"],
        folder / "web.log",
        lambda server: status_of(server.url) > 0,
        surroundings={**surroundings, "STATIC_ROOT": collected_files()},
        url=f"http://127.0.0.1:{port}/",
    )
    yield from _running(server)


@contextmanager
def worker(
    folder: Path, surroundings: Mapping[str, str], *queues: str, app: str = "studio", hands: int = 1
) -> Iterator[Service]:
    """A Celery worker of these queues; without any, of those that it chooses itself."""
    name = f"worker-{'-'.join(queues)}" if queues else "worker"
    command = [sys.executable, "-m", "celery", "-A", app, "worker"]
    of_queues = ["--queues", ",".join(queues)] if queues else []
    server = Service(
        [
            *command,
            "--concurrency",
            str(hands),
            *ALONE,
            "--loglevel",
            "info",
            "--hostname",
            f"{name}-{os.getpid()}@%h",
            *of_queues,
        ],
        folder / f"{name}.log",
        lambda server: " ready." in server.output,
        surroundings=surroundings,
    )
    yield from _running(server, server.kill)  # it would end what it is doing


@contextmanager
def beat(folder: Path, surroundings: Mapping[str, str], app: str = "studio") -> Iterator[Service]:
    """The beat of Celery."""
    command = [sys.executable, "-m", "celery", "-A", app, "beat", "--loglevel", "info"]
    server = Service(
        [*command, "--schedule", str(folder / "schedule"), "--pidfile="],
        folder / "beat.log",
        lambda server: "beat: Starting" in server.output,
        surroundings=surroundings,
    )
    yield from _running(server, server.kill)


@contextmanager
def supervised(server: Service) -> Iterator[Service]:
    """Whenever it ends by itself it is started anew, as systemd does by `Restart=always`."""
    done = threading.Event()

    def start_again() -> None:
        while not done.wait(0.2):
            if not server.is_running:
                server.start_without_waiting()

    supervisor = threading.Thread(target=start_again)
    supervisor.start()
    try:
        yield server
    finally:
        done.set()
        supervisor.join()


@cache
def collected_files() -> str:
    """The folder of the static files, collected once in each process of the tests."""
    folder = tempfile.TemporaryDirectory(prefix="fillwright-static-")
    _kept.append(folder)
    surroundings = {"DEBUG": "false", "SECRET_KEY": "x" * 50, "STATIC_ROOT": folder.name}
    manage(os.environ | surroundings, "collectstatic", "--no-input")
    return folder.name


#: Folders that go with this process.
_kept: list[tempfile.TemporaryDirectory] = []


def status_of(url: str) -> int:
    """The status of the answer at an address; 0 where nobody answers."""
    try:
        with urllib.request.urlopen(url, timeout=PATIENCE) as answer:
            return answer.status
    except urllib.error.HTTPError as answer:
        answer.close()
        return answer.code
    except OSError:
        return 0


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def _children(pid: int) -> Iterator[int]:
    """The processes that it has started, and that those have started."""
    for thread in Path(f"/proc/{pid}/task").glob("*/children"):
        with suppress(OSError):
            for child in map(int, thread.read_text().split()):
                yield child
                yield from _children(child)


def is_running(pid: int) -> bool:
    """Whether it is there, and no corpse that nobody has looked at."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state not in "ZX"


def _running(server: Service, end: Callable[[], None] | None = None) -> Iterator[Service]:
    try:
        server.start()
        yield server
    finally:
        (end or server.stop)()


def _program(name: str, *folders: Path) -> str:
    found = shutil.which(name, path=os.pathsep.join([*map(str, folders), os.environ["PATH"]]))
    if found is None:
        pytest.skip(f"needs {name}, which is not installed")
    return found


def _answers_ping(port: int) -> bool:
    try:
        with Redis(port=port, socket_connect_timeout=1) as client:
            return client.ping()
    except RedisError:
        return False


def _takes_connections(url: str) -> bool:
    try:
        psycopg.connect(url, connect_timeout=1).close()
    except psycopg.OperationalError:
        return False
    return True
