"""Run every command of the page that says how to deploy, on a machine of its own.

    python -m tests.deployment.run_page [--faults NUMBER] [--seed NUMBER]

The machine is made of namespaces of this one (tests/deployment/machine.py), with systemd,
PostgreSQL, Redis and nginx as Debian has them; what is installed in it is gone with it. It gets the
last commit of this checkout, not what has changed since. With faults, the table of
tests/deployment/fault_table.py is printed at the end.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.deployment.fault_table import print_fault_table
from tests.deployment.machine import CannotBootError, Machine, booted
from tests.deployment.studio_site import SITE, check_pages, filled_studio

PROJECT = Path(__file__).resolve().parents[2]
PAGE = PROJECT / "studio" / "deployment" / "README.md"
BLOCK = re.compile(r"^```sh\n(.*?)^```$", re.MULTILINE | re.DOTALL)
SOURCE = "/srv/source.git"
#: Small enough to be filled by a fault.
ROOM_FOR_FILES = "64m"


def blocks_of(page: str) -> list[str]:
    """The blocks of commands that stand on the page, in order."""
    return BLOCK.findall(page)


def bring_code(machine: Machine) -> None:
    """Put the last commit where the machine can clone it from, as from any repository."""
    with tempfile.TemporaryDirectory() as folder:
        bundle = Path(folder) / "code.bundle"
        made = ["git", "-C", str(PROJECT), "bundle", "create", "--quiet", str(bundle), "HEAD"]
        subprocess.run(made, check=True)
        machine.put("/srv/code.bundle", bundle.read_bytes())
    machine.run(
        f"git init --quiet --bare --initial-branch main {SOURCE};"
        f"git -C {SOURCE} fetch --quiet /srv/code.bundle HEAD:main;"
        "git config --system safe.directory '*'"
    )


def run_page(machine: Machine) -> None:
    """Run block by block. Raises AssertionError with what was written where one fails."""
    for block in blocks_of(PAGE.read_text()):
        begin = time.monotonic()
        done = machine.run(block, SITE=SITE, SOURCE=SOURCE)
        sys.stderr.write(f"{time.monotonic() - begin:6.1f} s  {block.splitlines()[0]}\n")
        if "curl --silent" in block:
            sys.stderr.write(done.stdout)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--faults", type=int, default=0, help="so many, in a table")
    options.add_argument("--seed", type=int, default=1)
    chosen = options.parse_args()
    try:
        with booted() as machine:
            machine.run(
                "mkdir -p /srv/fillwright/media;"
                f"mount -t tmpfs -o size={ROOM_FOR_FILES} files /srv/fillwright/media"
            )
            bring_code(machine)
            run_page(machine)
            people = filled_studio(machine)
            check_pages(people)
            if chosen.faults and not print_fault_table(machine, people, chosen.faults, chosen.seed):
                sys.exit("Not all was kept, or not all works again.")
    except CannotBootError as error:
        sys.exit(f"SKIPPED: a machine to deploy on {error}.")


if __name__ == "__main__":
    main()
