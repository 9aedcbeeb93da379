"""Takes: what was caught of a student's playing, understood."""

from rhythms.engine.takes.analyse import TAKES_VERSION, Analysis, Recording, analyse
from rhythms.engine.takes.grid import CLICK, ESTIMATED, FILE, Grid
from rhythms.engine.takes.hits import USUAL_KEYS, Hit, hear
from rhythms.engine.takes.matching import MISSED, RIGHT, WRONG, Attempt, NoteResult

__all__ = [
    "CLICK",
    "ESTIMATED",
    "FILE",
    "MISSED",
    "RIGHT",
    "TAKES_VERSION",
    "USUAL_KEYS",
    "WRONG",
    "Analysis",
    "Attempt",
    "Grid",
    "Hit",
    "NoteResult",
    "Recording",
    "analyse",
    "hear",
]
