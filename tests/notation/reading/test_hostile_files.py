"""Uploads that want all memory or all time, or that are not what they say, get a clear refusal."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
import zipfile
from functools import cache
from pathlib import Path
from threading import Thread
from typing import ClassVar
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import midi, musicxml, mxl
from rhythms.notation.reading import ReadingError, limits, read, sandbox
from rhythms.notation.reading.file_reader import read_here
from tests.thoroughness import examples, thorough_only

FILL = snare_fill(Bar.from_counts("1 & 2 e & a 3 & 4 e & a"))
TEXT = musicxml(FILL)
FIRST, LAST = TEXT.index("<measure"), TEXT.index("</measure>") + len("</measure>")
CONTAINER = '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>'
ALLOWED = 300  # MB, as asked for
#: What is seen of a file before any process reads it.
AT_THE_DOOR = {"empty", "wrong-type", "too-large"}


def measures(times: int) -> bytes:
    return (TEXT[:FIRST] + TEXT[FIRST:LAST] * times + TEXT[LAST:]).encode()


def archive(*members: tuple[str, str | bytes]) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("META-INF/container.xml", CONTAINER)
        for name, content in members:
            made.writestr(name, content)
    return file.getvalue()


def entity_bomb() -> str:
    declared = '<!ENTITY a0 "ha">' + "".join(
        f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10)
    )
    return f"<!DOCTYPE score-partwise [{declared}]><score-partwise>&a9;</score-partwise>"


def track_of(events: bytes) -> bytes:
    header = b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xe0MTrk"
    return header + len(events).to_bytes(4, "big") + events


def million_events() -> bytes:
    return track_of(b"\x00\x99\x26\x40" + b"\x01\x26\x40" * 1_000_000)


#: What the page may be sent, and the code of the answer.
HOSTILE = {
    "zero bytes": (b"", "empty"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(1000), "wrong-type"),
    "a PDF": (b"%PDF-1.7\n", "wrong-type"),
    "10 MB": (measures(10_000_000 // (LAST - FIRST)), "too-large"),
    "a MIDI file with a million events": (million_events(), "too-large"),
    "an entity bomb": (entity_bomb().encode(), "entities"),
    "an entity bomb in UTF-16": (entity_bomb().encode("utf-16"), "entities"),
    "a file of the server's": (
        b'<!DOCTYPE s [<!ENTITY a SYSTEM "file:///etc/passwd">]><s>&a;</s>',
        "entities",
    ),
    "a zip bomb": (archive(("s.xml", b" " * 100_000_000)), "too-large-inside"),
    "a zip of thousands of files": (
        archive(*((f"{n}", "") for n in range(5000))),
        "too-many-inside",
    ),
    "a zip without a score": (archive(("a", "b")), "not-mxl"),
    "XML without end in depth": (b"<a>" * 100_000 + b"</a>" * 100_000, "too-deep"),
    "a score cut off": (TEXT.encode()[:1500], "damaged"),
    "a compressed score cut off": (mxl(TEXT)[:400], "damaged"),
    "a MIDI file cut off": (midi(FILL)[:60], "damaged"),
    "noise after a MIDI header": (track_of(os.urandom(5000)), "damaged"),
    "a meter of a billion beats": (
        TEXT.replace("<beats>4</beats>", "<beats>1000000000</beats>").encode(),
        "too-much-memory",
    ),
    "too many notes": (measures(limits.MOST_NOTES // 12 + 1), "too-many-notes"),
    "thousands of empty measures": (
        TEXT[:FIRST].encode() + b"<measure/>" * 200_000 + TEXT[LAST:].encode(),
        "too-many-measures",
    ),
}
#: Within the limits, and as much as they allow; they take seconds each, so the thorough run's.
LARGEST = {
    "the most notes": measures(limits.MOST_NOTES // 12),
    "the most MIDI events": track_of(b"\x00\x99\x26\x40" + b"\x78\x26\x40" * 59_000),
    "a hundred thousand attributes": (
        b"<score-partwise " + b" ".join(b'a%d="1"' % n for n in range(100_000)) + b"/>"
    ),
}


class WatchedProcess(subprocess.Popen):
    """A process whose peak memory in MB is known once it has ended.

    A process made from a large one counts that one's memory as its own past, so the kernel's
    mark for the program itself is looked at while it runs.
    """

    peaks: ClassVar[list[float]] = []

    def __init__(self, *args, **options) -> None:
        super().__init__(*args, **options)
        self.watching = Thread(target=self.watch)
        self.watching.start()

    def watch(self) -> None:
        peak, status = 0, Path(f"/proc/{self.pid}/status")
        while mark := _high_water(status):
            peak = max(peak, mark)
            time.sleep(0.002)
        self.peaks.append(peak / 1024)

    def __exit__(self, *about) -> None:
        super().__exit__(*about)
        self.watching.join()


def _high_water(status: Path) -> int:
    try:
        lines = status.read_text().splitlines()
    except OSError:
        return 0
    marks = [line.split()[1] for line in lines if line.startswith("VmHWM")]
    return int(marks[0]) if marks else 0


@cache
def tried(name: str) -> tuple[str, str, list[float]]:
    """Code and message of the refusal, and the peak memory of the process that read the file.

    Code and message are empty where it was read; who is refused at the door has no process.
    """
    code = message = ""
    WatchedProcess.peaks.clear()
    with patch.object(subprocess, "Popen", WatchedProcess):
        try:
            read(LARGEST.get(name) or HOSTILE[name][0])
        except ReadingError as refused:
            code, message = refused.code, refused.message
    return code, message, [*WatchedProcess.peaks]


@pytest.mark.parametrize("name", HOSTILE)
def test_it_is_refused_with_the_reason(name):
    code, message, _ = tried(name)
    assert code == HOSTILE[name][1]
    assert message[0].isupper()
    assert message.endswith(".")


@pytest.mark.parametrize("name", [*HOSTILE, *thorough_only(LARGEST)])
def test_no_file_takes_300_mb(name):
    code, _, peaks = tried(name)
    assert peaks or code in AT_THE_DOOR
    assert all(0 < peak < ALLOWED for peak in peaks)


def test_a_refused_score_is_not_worth_loading_the_library():
    code = (
        "import sys; from rhythms.notation.reading.file_reader import ReadingError, read_here\n"
        "try: read_here(sys.stdin.buffer.read())\n"
        "except ReadingError as refused: print(refused.code, 'music21' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        input=measures(limits.MOST_NOTES // 12 + 1),
        capture_output=True,
        check=True,
    )
    assert done.stdout == b"too-many-notes False\n"


def test_the_reader_leaves_no_file_that_somebody_could_plant(tmp_path):
    subprocess.run(
        [sys.executable, "-m", "rhythms.notation.reading", "reading"],
        input=TEXT.encode(),
        stdout=subprocess.DEVNULL,
        env=sandbox.environment(str(tmp_path)),
        check=True,
    )
    assert list(tmp_path.iterdir()) == []


def test_what_takes_more_memory_than_there_is_is_refused(tmp_path):
    """The ceiling is real: a reader that is given a file beyond it leaves with the right word."""
    lowered = (
        "import rhythms.notation.reading.limits as limits; limits.MEMORY = 180 << 20;"
        "import runpy; runpy.run_module('rhythms.notation.reading', run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", lowered, "reading"],
        input=measures(limits.MOST_NOTES // 12),
        capture_output=True,
        env=sandbox.environment(str(tmp_path)),
        check=False,
    )
    assert done.returncode == limits.TOO_MUCH_MEMORY


def test_what_takes_too_long_is_ended(monkeypatch):
    monkeypatch.setattr(sandbox, "SECONDS", 0.05)
    with pytest.raises(ReadingError) as refused:
        read(midi(FILL))
    assert refused.value.code == "too-long"


def test_the_reader_knows_nothing_of_the_sites_environment(monkeypatch, tmp_path):
    monkeypatch.setenv("SECRET_KEY", "not for parsers")
    assert "SECRET_KEY" not in sandbox.environment(str(tmp_path))


@pytest.mark.parametrize("data", [TEXT.encode(), mxl(TEXT), midi(FILL)])
def test_a_good_file_is_read_the_same_in_a_process_of_its_own(data):
    assert read(data) == read_here(data)


@examples(200)
@given(st.lists(st.tuples(st.integers(0), st.integers(0, 255)), min_size=1, max_size=4))
@pytest.mark.parametrize("data", [midi(FILL), mxl(TEXT)], ids=["MIDI", "MXL"])
def test_changed_bytes_are_read_or_refused(data, changes):
    changed = bytearray(data)
    for place, byte in changes:
        changed[place % len(data)] = byte
    try:
        assert read_here(bytes(changed)).measures
    except ReadingError as refused:
        assert refused.message
