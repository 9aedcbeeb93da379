"""A Debian machine to try a deployment on: namespaces of this one, with systemd as process 1.

Its files are a copy of this machine's that is gone with it; its processes and mounts are its own.
The network is this machine's, so that it can install. Needs root, and a kernel that lets root make
namespaces.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

BOOT = Path(__file__).with_name("boot.sh")
SYSTEMD = Path("/lib/systemd/systemd")
NAMESPACES = ("--mount", "--pid", "--uts", "--ipc", "--cgroup")
PATIENCE = 240  # seconds; a busy machine takes its time


class CannotBootError(Exception):
    """This machine cannot hold another one; says why."""


class Machine:
    """A machine that runs: `init` is the number of its first process, seen from here."""

    def __init__(self, init: int) -> None:
        self.init = init

    def run(
        self, script: str, *, check: bool = True, **environment: str
    ) -> subprocess.CompletedProcess[str]:
        """Run lines of shell as its root, stopping at the first that fails.

        Raises AssertionError with what was written, where one fails and `check`.
        """
        done = subprocess.run(
            [*self._inside(), "bash", "-euo", "pipefail", "-c", script],
            env=os.environ | environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if check and done.returncode:
            raise AssertionError(
                f"{script}\nended with {done.returncode}:\n{done.stdout}{done.stderr}"
            )
        return done

    def put(self, path: str, content: bytes) -> None:
        """Write a file of the machine."""
        subprocess.run(
            [*self._inside(), "tee", path], input=content, stdout=subprocess.DEVNULL, check=True
        )

    def _inside(self) -> list[str]:
        return ["nsenter", "--target", str(self.init), "--all", "--wdns=/"]


@contextmanager
def booted() -> Iterator[Machine]:
    """A machine that is up. Raises CannotBootError where there can be none."""
    if os.geteuid() != 0:
        raise CannotBootError("needs root")
    if not SYSTEMD.exists():
        raise CannotBootError("needs systemd")
    if subprocess.run(["unshare", *NAMESPACES, "--fork", "true"], check=False).returncode:
        raise CannotBootError("needs a kernel that lets root make namespaces")
    place = Path(tempfile.mkdtemp(prefix="machine-"))
    # It ends with this process, however that ends.
    private = [
        "setpriv",
        "--pdeathsig",
        "KILL",
        "unshare",
        *NAMESPACES,
        "--fork",
        "--kill-child",
        "--propagation",
        "private",
    ]
    process = subprocess.Popen(
        [*private, "bash", str(BOOT), str(place)],
        stdin=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        machine = Machine(_first_process_of(process))
        _wait_until_up(machine, process)
        yield machine
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        shutil.rmtree(place, ignore_errors=True)


def _first_process_of(unshare: subprocess.Popen[bytes]) -> int:
    children = Path(f"/proc/{unshare.pid}/task/{unshare.pid}/children")
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and unshare.poll() is None:
        if found := children.read_text().split():
            return int(found[0])
        time.sleep(0.05)
    raise CannotBootError("no process started")


def _wait_until_up(machine: Machine, process: subprocess.Popen[bytes]) -> None:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and process.poll() is None:
        state = machine.run("systemctl is-system-running", check=False).stdout.strip()
        if state in ("running", "degraded"):
            return
        time.sleep(0.2)
    raise CannotBootError("systemd did not come up")
