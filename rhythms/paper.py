"""What all practice sheets have in common."""

from typing import NamedTuple

TICK = "Tick a box for each day on which you played it."
HANDS_PROPOSED = "The hands under the notes are a proposal: the easiest way round."


class Look(NamedTuple):
    """How a sheet is printed: size of paper, and the count line under the notes."""

    paper: str = "a4"
    counts: bool = False


def how_to_play(tempo: int, block_bars: int) -> str:
    """Tempo and block in a sentence; the four times through are common practice."""
    return (
        f"Tempo {tempo}. {block_bars - 1} bars of groove, then the fill, four times through, "
        "with the crash on one after each fill."
    )
