"""`python -m tests.page_table [--beside CHECKOUT] [--only NAME]`: see the package."""

import json
import os
import subprocess
import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from tempfile import gettempdir
from time import perf_counter
from typing import Any
from urllib.parse import urlsplit, urlunsplit

import psycopg

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
HEADING = f"{'':52}{'first':>9}{'median':>9}{'p95':>9}{'python':>9}{'queries':>9}{'bytes':>10}"
#: What a page may take, in milliseconds, 19 times of 20.
AIM = 200
#: What the worker does before anybody asks for a page; nothing where the code has no such task.
READY = """
from django.db import connection
from assignments import models, tasks
if hasattr(models, "KeptZone"):
    tasks.refresh_comfort_zones()
connection.cursor().execute("VACUUM ANALYZE")
"""


def read_arguments() -> Namespace:
    parser = ArgumentParser(prog="python -m tests.page_table", description=__doc__)
    parser.add_argument("--server", default=os.environ.get("DATABASE_URL", ""), help="PostgreSQL")
    parser.add_argument("--students", type=int, default=300)
    parser.add_argument("--entries", type=int, default=1_000_000)
    parser.add_argument("--beside", type=Path, help="an older checkout, measured too")
    parser.add_argument("--only", default="", help="pages with this in their name")
    parser.add_argument("--anew", action="store_true", help="fill the database once more")
    return parser.parse_args()


class Server:
    """A PostgreSQL server, and commands run on its databases by any checkout."""

    def __init__(self, address: str) -> None:
        self.address = urlsplit(address)

    def url(self, database: str) -> str:
        return urlunsplit(self.address._replace(path=f"/{database}"))

    def execute(self, *statements: str) -> None:
        with psycopg.connect(self.url("postgres"), autocommit=True) as server:
            for statement in statements:
                server.execute(statement)

    def has(self, database: str) -> bool:
        with psycopg.connect(self.url("postgres")) as server:
            found = server.execute("SELECT 1 FROM pg_database WHERE datname = %s", [database])
            return found.fetchone() is not None

    def run(self, checkout: Path, database: str, *command: object) -> str:
        """Run a Python command in a checkout on this database; returns what it printed."""
        environment = os.environ | {
            "DATABASE_URL": self.url(database),
            "PYTHONPATH": str(checkout),
            "MEDIA_ROOT": str(Path(gettempdir()) / "page-table-media"),
            "SECRET_KEY": "only for measuring",
            "DEBUG": "false",
            "HTTPS": "false",
            "ALLOWED_HOSTS": "*",
            "REDIS_URL": "",
        }
        done = subprocess.run(
            [sys.executable, *map(str, command)],
            cwd=checkout,
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        )
        return done.stdout


def filled(server: Server, arguments: Namespace, oldest: Path) -> str:
    """The name of a database that is filled, and is filled now where there is none."""
    name = f"pages_{arguments.students}"
    if server.has(name) and not arguments.anew:
        return name
    print(f"Filling {name}: {arguments.students} students, {arguments.entries:,} entries …")
    server.execute(f"DROP DATABASE IF EXISTS {name}", f"CREATE DATABASE {name}")
    server.run(oldest, name, "manage.py", "migrate", "--verbosity", "0")
    server.run(oldest, name, HERE / "full_studio.py", arguments.students, arguments.entries)
    return name


def measured(
    server: Server, checkout: Path, template: str, name: str, only: str
) -> dict[str, dict[str, Any]]:
    """What each page takes on a copy of the database."""
    server.execute(f"DROP DATABASE IF EXISTS {name}", f"CREATE DATABASE {name} TEMPLATE {template}")
    server.run(checkout, name, "manage.py", "migrate", "--verbosity", "0")
    server.run(checkout, name, "manage.py", "collectstatic", "--no-input", "--verbosity", "0")
    began = perf_counter()
    server.run(checkout, name, "manage.py", "shell", "-c", READY)
    print(f"  made ready in {perf_counter() - began:.0f} s", file=sys.stderr)
    lines = server.run(checkout, name, HERE / "timed_pages.py", only).splitlines()
    return dict(json.loads(line) for line in lines)


def line(name: str, one: dict[str, Any]) -> str:
    mark = " *" if one["p95"] > AIM else ""
    return (
        f"{name:52}{one['first']:9.0f}{one['median']:9.1f}{one['p95']:9.1f}{one['python']:9.1f}"
        f"{one['queries']:9}{one['bytes']:10,}{mark}"
        + (f"  {one['status']}" if one["status"] >= 500 else "")
    )


def main() -> None:
    arguments = read_arguments()
    if not arguments.server.startswith("postgres"):
        sys.exit("Say which PostgreSQL server may be used: --server postgres://…, or DATABASE_URL.")
    server = Server(arguments.server)
    before = arguments.beside.resolve() if arguments.beside else None
    template = filled(server, arguments, before or ROOT)
    tables = {}
    if before:
        tables["before"] = measured(server, before, template, "pages_before", arguments.only)
    tables["after" if before else "now"] = measured(
        server, ROOT, template, "pages_now", arguments.only
    )
    print(f"{'Milliseconds; * a 95th percentile over ' + str(AIM):52}")
    print(HEADING)
    for name in sorted({name for table in tables.values() for name in table}):
        for when, table in tables.items():
            if name in table:
                print(line(f"{name} {when}" if before else name, table[name]))


if __name__ == "__main__":
    main()
