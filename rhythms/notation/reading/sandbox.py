"""Reading a file that anybody may have sent: in a process of its own, with limits.

Parsers have been made to take all memory and all time there is. The child process has a
ceiling for both, writes no file, knows none of this process's environment, and is killed
where it takes too long. The bytes reach it by a pipe; the file's name never does.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from rhythms.notation.reading.kinds import HEAD, check_size, kind_of
from rhythms.notation.reading.limits import MOST_ANSWER, SECONDS, TOO_MUCH_MEMORY
from rhythms.notation.reading.reading_error import ReadingError
from rhythms.notation.reading.result import Reading

ROOT = Path(__file__).resolve().parents[3]
_TOO_LONG = ReadingError(
    "too-long", "Reading this file took too long. Export only the part or the page that you want."
)
_TOO_BIG = ReadingError(
    "too-much-memory",
    "Reading this file takes too much memory. Export only the part or the page that you want.",
)
_STOPPED = ReadingError(
    "stopped", "The reader stopped at this file: it is damaged, or of an unusual kind."
)


def read(data: bytes, *, hands_only: bool = False) -> Reading:
    """Every measure of a MusicXML, .mxl or MIDI file. Raises ReadingError.

    With ``hands_only``, what percussion plays with the feet is left out.
    """
    check_size(kind_of(data[:HEAD]), len(data))
    return Reading.from_json(ask("hands" if hands_only else "reading", data))


def ask(what: str, data: bytes) -> dict[str, Any]:
    """What the child process answers: the ``reading`` of a file, of its ``hands``, its ``strokes``.

    Raises ReadingError.
    """
    answer = _answer(what, data)
    if what not in answer:
        raise ReadingError(answer["code"], answer["message"])
    found: dict[str, Any] = answer[what]
    return found


def _answer(what: str, data: bytes) -> dict[str, Any]:
    with tempfile.TemporaryDirectory(prefix="reading-") as scratch:
        done = _run(what, data, scratch)
    if done.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
        raise _TOO_LONG
    if done.returncode == TOO_MUCH_MEMORY:
        raise _TOO_BIG
    if done.returncode or len(done.stdout) > MOST_ANSWER:
        raise _STOPPED
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def _run(what: str, data: bytes, scratch: str) -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(  # noqa: S603 - its words are ours
            [sys.executable, "-m", "rhythms.notation.reading", what],
            input=data,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=ROOT,
            env=environment(scratch),
            timeout=SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise _TOO_LONG from error


def environment(scratch: str) -> dict[str, str]:
    """Nothing of ours but where programs are; one thread, since each takes memory."""
    return {
        "PATH": os.environ.get("PATH", ""),
        "HOME": scratch,
        "TMPDIR": scratch,
        "PYTHONPATH": str(ROOT),
        "PYTHONDONTWRITEBYTECODE": "1",
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "MKL_NUM_THREADS": "1",
    }
