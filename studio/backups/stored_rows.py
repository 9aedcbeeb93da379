"""Rows as JSON, the same from every database, and back."""

import base64
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple
from uuid import UUID

from django.apps.registry import Apps
from django.db import connections, models
from django.db.models.sql import InsertQuery

#: Rows that are read or written at a time: a long take has 200 KB.
CHUNK = 200
#: Who has a session is signed in, and who asked for a mail is kept nowhere: not for a backup.
_LEFT_OUT = {"sessions.session", "studio.accountmail"}


class StoredTable(NamedTuple):
    """The rows of a model, with the columns that it has at some migration."""

    label: str
    model: type[models.Model]
    fields: list[models.Field]

    @property
    def columns(self) -> list[str]:
        return [field.attname for field in self.fields]

    @property
    def pk(self) -> int:
        """At which place the primary key stands."""
        return [field.primary_key for field in self.fields].index(True)

    def rows(self, using: str, pks: Sequence[Any] | None = None) -> Iterator[list[Any]]:
        """The rows as JSON takes them, in no order that all databases share."""
        found = self.model._base_manager.using(using).order_by("pk")
        if pks is not None:
            found = found.filter(pk__in=pks)
        for row in found.values_list(*self.columns).iterator(chunk_size=CHUNK):
            yield [_as_json(value) for value in row]

    def insert(self, rows: Sequence[list[Any]], using: str) -> None:
        """Keep rows of `rows()` as they are: no default, no time stamp of now."""
        things = [self._thing(row) for row in rows]
        size = connections[using].ops.bulk_batch_size(self.fields, things)
        for start in range(0, len(things), max(size, 1)):
            query = InsertQuery(self.model)
            query.insert_values(self.fields, things[start : start + size], raw=True)
            query.get_compiler(using).execute_sql()

    def _thing(self, row: list[Any]) -> models.Model:
        values = zip(self.fields, row, strict=True)
        return self.model(**{field.attname: _from_json(field, value) for field, value in values})


def tables_of(apps: Apps) -> list[StoredTable]:
    """All tables that a backup holds, of the current models or of those at some migration."""
    return [
        StoredTable(model._meta.label_lower, model, list(model._meta.concrete_fields))
        for model in sorted(
            apps.get_models(include_auto_created=True), key=lambda model: model._meta.label_lower
        )
        if model._meta.managed and not model._meta.proxy
        if model._meta.label_lower not in _LEFT_OUT
    ]


def _as_json(value: Any) -> Any:
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode()
    if isinstance(value, date):
        return value.isoformat()  # a datetime too, to the microsecond
    if isinstance(value, Decimal | UUID):
        return str(value)
    return value


def _from_json(field: models.Field, value: Any) -> Any:
    if value is None or isinstance(field, models.JSONField):
        return value
    if isinstance(field, models.BinaryField):
        return base64.b64decode(value)
    return field.to_python(value)
