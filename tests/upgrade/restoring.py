"""Brings a kept studio back: into a scratch database and a scratch folder of files."""

import json
import lzma
import shutil
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

BEFORE = Path(__file__).parent / "before"


def kept(kind: str, name: str) -> Any:
    """What was recorded of the studio of this kind of database."""
    plain = BEFORE / f"{kind}_{name}.json"
    text = plain.read_bytes() if plain.exists() else unpacked(kind, f"{name}.json")
    return json.loads(text)


def unpacked(kind: str, name: str) -> bytes:
    return lzma.decompress((BEFORE / f"{kind}_{name}.xz").read_bytes())


def files(folder: Path) -> Path:
    """Put back what MEDIA_ROOT held; returns it."""
    shutil.unpack_archive(BEFORE / "files.tar.xz", folder)  # as Python 3.11.2 can, Debian's
    return folder / "media"


@contextmanager
def on_sqlite(folder: Path) -> Iterator[str]:
    """The address of a database file with the studio in it."""
    path = folder / "studio.sqlite3"
    path.write_bytes(unpacked("sqlite", "studio.sqlite3"))
    yield f"sqlite:///{path}"


@contextmanager
def on_postgresql(server: str) -> Iterator[str]:
    """The address of a database of its own, beside the one at `server`, with the studio in it."""
    import psycopg
    from psycopg.sql import SQL, Identifier

    own = f"upgrade_{uuid.uuid4().hex}"
    name, address = Identifier(own), urlsplit(server)._replace(path=f"/{own}").geturl()
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(
            SQL("CREATE DATABASE {} TEMPLATE template0 ENCODING 'UTF8'").format(name)
        )
    try:
        with psycopg.connect(address) as connection:
            connection.execute(unpacked("postgresql", "studio.sql"))
        yield address
    finally:
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(SQL("DROP DATABASE {} WITH (FORCE)").format(name))
