"""Read one file from standard input, in a process with limits of its own; answer in JSON.

``{"reading": …}``, ``{"hands": …}``, ``{"strokes": …}`` or ``{"code": …, "message": …}``: what
is asked for is the argument. Started by ``sandbox``.
"""

from __future__ import annotations

import json
import os
import resource
import sys
from typing import Any

from rhythms.notation.reading.limits import CPU_SECONDS, MEMORY, MOST_BYTES, TOO_MUCH_MEMORY
from rhythms.notation.reading.reading_error import ReadingError


def _limit() -> None:
    """Memory and time end; no file can be written, no core dumped."""
    for what, most in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, CPU_SECONDS),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(what, (most, most))


def _answer(what: str, data: bytes) -> dict[str, Any]:
    try:
        # Imported behind the limits, since the libraries take memory too.
        if what == "strokes":
            from rhythms.notation.reading.strokes import strokes_here  # noqa: PLC0415

            return {what: strokes_here(data).to_json()}
        from rhythms.notation.reading.file_reader import read_here  # noqa: PLC0415

        return {what: read_here(data, hands_only=what == "hands").to_json()}
    except ReadingError as error:
        return {"code": error.code, "message": error.message}
    except RecursionError:
        return {"code": "too-deep", "message": "The file nests its contents too deep."}


def main() -> None:
    """Read, answer, leave."""
    _limit()
    try:
        text = json.dumps(_answer(sys.argv[1], sys.stdin.buffer.read(MOST_BYTES + 1)))
    except MemoryError:
        os._exit(TOO_MUCH_MEMORY)
    sys.stdout.write(text)


main()
