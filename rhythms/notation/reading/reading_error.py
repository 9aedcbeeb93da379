"""The error of a file that cannot be read: a code and a message."""

from __future__ import annotations


class ReadingError(ValueError):
    """``code`` outlives the wording; ``message`` says what is wrong and what to do."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code
        self.message = message
