"""What notation says when it cannot draw or write something."""

from __future__ import annotations


class EngravingError(RuntimeError):
    """The engraver refused a bar or drew nothing; ``message`` is a sentence that says which."""

    code = "engraving"

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message
