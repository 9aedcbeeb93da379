"""What a pick of eight from a hostile space takes, in a process of its own.

Run as a module with the seed of the space: prints the seconds of processor time, the megabytes
at the most, and how many fills there were.
"""

import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from time import process_time
from typing import NamedTuple

from rhythms.bench.hostile_rules import hostile_space
from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.picking import pick
from rhythms.engine.prior.human_prior import human_prior

FILLS, TEMPO = 8, 40
#: What the kernel says of a process; other than `getrusage`, nothing of the one that started it.
STATUS = Path("/proc/self/status")
#: Where the project is imported from.
_ROOT = Path(__file__).parents[2]


class Taken(NamedTuple):
    """Seconds of processor time, megabytes at the most, and fills picked."""

    seconds: float
    megabytes: int
    picked: int


def picked_alone(seed: int) -> Taken:
    """Pick in a process of its own."""
    command = [sys.executable, "-m", __name__, str(seed)]
    # Ours alone, without a word from outside.
    ran = subprocess.run(command, capture_output=True, text=True, check=True, cwd=_ROOT)  # noqa: S603
    seconds, megabytes, picked = ran.stdout.split()
    return Taken(float(seconds), int(megabytes), int(picked))


def _taken(seed: int) -> Taken:
    human_prior()
    space = hostile_space(seed)
    picked, start = 0, process_time()
    with suppress(TooManyStatesError):
        picked = len(pick(space, FILLS, tempo=TEMPO))
    return Taken(process_time() - start, _megabytes(), picked)


def _megabytes() -> int:
    words = STATUS.read_text(encoding="ascii").split()
    return int(words[words.index("VmHWM:") + 1]) // 1024


if __name__ == "__main__":
    print(*_taken(int(sys.argv[1])))  # noqa: T201 - this is what it is run for
