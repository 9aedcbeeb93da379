"""Uploads of any size end somewhere, and none of them needs room on a disk."""

from io import BytesIO
from typing import Any

from django.core.files.uploadedfile import InMemoryUploadedFile
from django.core.files.uploadhandler import FileUploadHandler

#: More than any form of this site takes, so that each says itself what is too large for it.
MOST_BYTES = 12_000_000


class CutOff(FileUploadHandler):
    """Keeps the first MOST_BYTES of a request's files in memory, and counts the rest.

    A cut-off file is larger than every form allows, and is refused there, beside its field.
    """

    kept = 0

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.file = BytesIO()

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        if self.kept + len(raw_data) <= MOST_BYTES:
            self.kept += len(raw_data)
            self.file.write(raw_data)
        return None

    def file_complete(self, file_size: int) -> InMemoryUploadedFile:
        self.file.seek(0)
        return InMemoryUploadedFile(
            self.file,
            self.field_name,
            self.file_name,
            self.content_type,
            file_size,
            self.charset,
            self.content_type_extra,
        )
