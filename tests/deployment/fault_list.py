"""What can go wrong with a deployed site, each done for real on its machine, and ended again."""

from __future__ import annotations

import random
import time
from pathlib import Path
from typing import NamedTuple

from tests.deployment.machine import Machine

#: Read by clock.c, which the site's processes preload.
CLOCK = "/run/fillwright-clock"
UNITS = (
    "fillwright-web",
    "fillwright-worker@quick",
    "fillwright-worker@slow",
    "fillwright-beat",
)


class FaultKind(NamedTuple):
    """Begins the fault, and ends it: seconds pass between, in which people go on."""

    name: str
    begin: str
    end: str = "true"
    seconds: float = 3


def _killed(unit: str, whom: str = "all") -> str:
    return f"systemctl kill --signal KILL --kill-who {whom} {unit}"


def _clock(seconds: int) -> str:
    # Written over: a file that is cut off meanwhile would kill who reads it.
    return f"printf %8d {seconds} | dd of={CLOCK} conv=notrunc status=none"


KINDS = (
    FaultKind("web: kill -9 of all its processes", _killed("fillwright-web")),
    FaultKind(
        "web: kill -9 of one process of two",
        "kill -9 $(pgrep --parent $(systemctl show --property MainPID --value fillwright-web)"
        " | shuf -n 1)",
    ),
    FaultKind(
        "web: hangs",
        "systemctl kill --signal STOP fillwright-web",
        "systemctl kill --signal CONT fillwright-web",
        seconds=8,
    ),
    FaultKind("worker of the quick queue: kill -9", _killed("fillwright-worker@quick")),
    FaultKind("worker of the slow queue: kill -9", _killed("fillwright-worker@slow")),
    FaultKind(
        "both workers: kill -9 of the process that works",
        "for queue in quick slow; do kill -9 $(pgrep --parent $(systemctl show --property MainPID"
        " --value fillwright-worker@$queue)); done",
    ),
    FaultKind("beat: kill -9", _killed("fillwright-beat")),
    FaultKind("Redis: kill -9", _killed("redis-server")),
    FaultKind(
        "Redis: stopped, started",
        "systemctl stop redis-server",
        "systemctl start redis-server",
        seconds=8,
    ),
    FaultKind("Redis: all that it held is gone", "redis-cli FLUSHALL", seconds=1),
    FaultKind("PostgreSQL: kill -9 of all its processes", _killed("postgresql@15-main")),
    FaultKind(
        "PostgreSQL: kill -9 of one connection",
        "pkill -9 --oldest --full '^postgres: .*fillwright fillwright'",
    ),
    FaultKind(
        "PostgreSQL: stopped, started",
        "systemctl stop postgresql@15-main",
        "systemctl start postgresql@15-main",
        seconds=8,
    ),
    FaultKind("PostgreSQL: restarted", "systemctl restart postgresql@15-main"),
    FaultKind(
        "disk of the files full",
        "head -c 100M /dev/zero > /srv/fillwright/media/filler || true",
        "rm /srv/fillwright/media/filler",
        seconds=8,
    ),
    FaultKind("clock back an hour", _clock(-3600), _clock(0), seconds=8),
    FaultKind("clock ahead an hour", _clock(3600), _clock(0), seconds=8),
    FaultKind("proxy: kill -9", _killed("nginx"), "systemctl restart nginx"),
    FaultKind(
        "new version: reloaded and restarted",
        f"systemctl reload {UNITS[0]}; systemctl restart {' '.join(UNITS[1:])}",
    ),
    FaultKind(
        "migration stopped half-way, then run again",
        "cd / && runuser -u postgres -- dropdb --if-exists half;"
        "runuser -u postgres -- createdb --owner fillwright --template template0 half;"
        "sed 's|/fillwright$|/half|' /etc/fillwright.env > /root/half.env;"
        "export FILLWRIGHT_ENV=/root/half.env;"
        "timeout --signal KILL $((3 + RANDOM % 8)).$((RANDOM % 10)) fillwright migrate || true",
        "export FILLWRIGHT_ENV=/root/half.env; fillwright migrate; fillwright migrate --check;"
        "cd / && for name in half fillwright; do runuser -u postgres -- pg_dump --schema-only $name"
        " | grep -v restrict > /tmp/$name.sql; done; cmp /tmp/half.sql /tmp/fillwright.sql",
        seconds=1,
    ),
)


def prepare_clock(machine: Machine) -> None:
    """Have the site's processes read their clock where a fault can set it."""
    machine.put("/srv/clock.c", Path(__file__).with_name("clock.c").read_bytes())
    drop_in = f"[Service]\\nEnvironment=LD_PRELOAD=/srv/clock.so FAKE_CLOCK={CLOCK}\\n"
    machine.run(
        "apt-get install --yes -qq --no-install-recommends gcc libc6-dev;"
        "gcc -O2 -shared -fPIC -o /srv/clock.so /srv/clock.c -ldl;"
        f"head -c 8 /dev/zero > {CLOCK}; {_clock(0)};"
        "for unit in fillwright-web fillwright-worker@ fillwright-beat; do"
        "  mkdir -p /etc/systemd/system/$unit.service.d;"
        f"  printf '{drop_in}' > /etc/systemd/system/$unit.service.d/clock.conf; done;"
        f"systemctl daemon-reload; systemctl restart {' '.join(UNITS)}"
    )


def chosen_faults(number: int, seed: int) -> list[FaultKind]:
    """So many, each kind as often as the others, in an order of the seed."""
    shuffled = [KINDS[i % len(KINDS)] for i in range(number)]
    random.Random(seed).shuffle(shuffled)
    return shuffled


def done_to(machine: Machine, fault: FaultKind) -> None:
    """Begin the fault, let time pass, end it."""
    machine.run(fault.begin)
    try:
        time.sleep(fault.seconds)
    finally:
        machine.run(fault.end)
