"""Send hostile requests to every address of the site, and count the codes of the answers.

    python -m tests.hostile --requests 100000 --seed 1 [--processes 2]

The database is one made for this, of the kind that DATABASE_URL names, and removed again. Ends
with 1 where an answer was a 500; each is printed once, with what was asked and where it broke.
"""

from __future__ import annotations

import argparse
import json
import logging
import math
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--requests", type=int, default=2000)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--processes", type=int, default=1)
    options.add_argument("--minutes", type=float, help="stop after so long, whatever was sent")
    options.add_argument("--share", type=int, help=argparse.SUPPRESS)
    chosen = options.parse_args()
    if chosen.share is not None:
        sys.stdout.write(json.dumps(_share(chosen)))
        return 0
    found = _all_shares(chosen)
    sys.stdout.write(_report(found))
    return 1 if any(share["failures"] for share in found) else 0


def _all_shares(chosen: argparse.Namespace) -> list[dict]:
    """Each process has its part of the requests, and a database of its own."""
    each = -(-chosen.requests // chosen.processes)
    command = [sys.executable, "-m", "tests.hostile", "--requests", str(each)]
    command += ["--seed", str(chosen.seed)]
    if chosen.minutes:
        command += ["--minutes", str(chosen.minutes)]
    running = [
        subprocess.Popen([*command, "--share", str(number)], stdout=subprocess.PIPE)
        for number in range(chosen.processes)
    ]
    answers = [process.communicate()[0] for process in running]
    if broken := [process.returncode for process in running if process.returncode]:
        raise SystemExit(f"A process ended with {broken[0]}.")
    return [json.loads(answer) for answer in answers]


def _share(chosen: argparse.Namespace) -> dict:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    import django

    django.setup()
    logging.disable(logging.CRITICAL)
    from tests.hostile.attack import Tally, attack, target

    tally, number = Tally(), chosen.share
    until = time.monotonic() + 60 * chosen.minutes if chosen.minutes else math.inf
    with _prepared(number), target() as site:
        for block in attack(site, chosen.requests, chosen.seed, tally, number * 1_000_000):
            sys.stderr.write(f"{number}: {block} sent, {len(tally.failures)} failed\n")
            if time.monotonic() > until:
                break
    return {
        "codes": [[*key, count] for key, count in tally.codes.items()],
        "meant": [[*key, count] for key, count in tally.meant.items()],
        "failures": tally.failures,
    }


@contextmanager
def _prepared(number: int) -> Iterator[None]:
    """Database, files, cache and passwords as the tests have them."""
    from django.conf import settings
    from django.db import connection
    from django.test.utils import override_settings, setup_test_environment

    from studio.celery import app

    setup_test_environment(debug=False)
    app.conf.task_always_eager = True
    with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
        on_file = connection.vendor == "sqlite"
        name = (
            Path(folder) / "hostile.sqlite3" if on_file else f"test_hostile_{os.getpid()}_{number}"
        )
        connection.settings_dict["TEST"]["NAME"] = name
        before = connection.settings_dict["NAME"]
        changed = override_settings(
            MEDIA_ROOT=folder,
            PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
            CACHES={"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}},
        )
        with changed:
            connection.creation.create_test_db(verbosity=0, autoclobber=True)
            try:
                yield
            finally:
                connection.creation.destroy_test_db(before, verbosity=0)
        assert settings.configured


def _report(found: list[dict]) -> str:
    """A table by address, one of all codes, and each failure once."""
    by_name: dict[str, Counter[int]] = {}
    for share in found:
        for name, code, count in share["codes"]:
            by_name.setdefault(name, Counter())[code] += count
    rows = ["| address | requests | 2xx | 3xx | 4xx | 5xx |", "| --- " * 6 + "|"]
    for name, codes in sorted(by_name.items()):
        hundreds = Counter()
        for code, count in codes.items():
            hundreds[code // 100] += count
        cells = (str(hundreds[number]) for number in (2, 3, 4, 5))
        rows.append(f"| {name} | {codes.total()} | {' | '.join(cells)} |")
    every = sum(by_name.values(), Counter())
    rows += ["", "| code | answers |", "| --- | --- |"]
    rows += [f"| {code} | {count:,} |" for code, count in sorted(every.items())]
    let_in = sum(count for code, count in every.items() if code < 400)
    rows += ["", f"{every.total():,} requests, {let_in / max(1, every.total()):.0%} let in."]
    seen: set[str] = set()
    for share in found:
        for request, code, error in share["failures"]:
            where = "\n".join(error.strip().splitlines()[-3:])
            if where not in seen:
                seen.add(where)
                rows += ["", f"{code}: {request}", error[-3000:]]
    return "\n".join(rows) + "\n"


if __name__ == "__main__":
    sys.exit(main())
