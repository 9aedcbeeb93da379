"""Uploads of any size end somewhere: what is beyond is not stored."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler

#: More than any form of this site takes, so that each says itself what is too large for it.
MOST_BYTES = 12_000_000


class CutOff(FileUploadHandler):
    """First of the handlers: lets the later ones have each file's first MOST_BYTES only.

    A cut-off file is larger than every form allows, and is refused there, beside its field.
    """

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.seen = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        self.seen += len(raw_data)
        return raw_data if self.seen <= MOST_BYTES else None

    def file_complete(self, file_size: int) -> None:
        return None
