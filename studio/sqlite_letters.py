"""Looking for words in SQLite, whose own LIKE takes only A to Z for their small letters.

“özge” is to find “Özge” there too, and to be refused as the same name, as on PostgreSQL.
"""

import re
from functools import lru_cache
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper


def see_letters_alike(connection: BaseDatabaseWrapper, **_: Any) -> None:
    """Have LIKE compare all letters, capitals or not (a receiver of `connection_created`)."""
    if connection.vendor == "sqlite":
        # `text LIKE pattern ESCAPE escape` is like(pattern, text, escape) to SQLite.
        connection.connection.create_function("like", 3, _is_like, deterministic=True)


def _is_like(pattern: Any, text: Any, escape: str) -> bool | None:
    if pattern is None or text is None:
        return None
    return bool(_compiled(str(pattern), escape).fullmatch(str(text).casefold()))


@lru_cache(maxsize=256)
def _compiled(pattern: str, escape: str) -> re.Pattern[str]:
    parts, letters = [], iter(pattern)
    for letter in letters:
        if letter == escape:
            parts.append(re.escape(next(letters, "").casefold()))
        else:
            parts.append({"%": ".*", "_": "."}.get(letter) or re.escape(letter.casefold()))
    return re.compile("".join(parts), re.DOTALL)
