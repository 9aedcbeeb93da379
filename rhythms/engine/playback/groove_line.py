"""One drum of a groove as it is typed: only what is struck is counted.

``2> 4>`` is an accent on two and four, ``1 (2) & 3`` has the ``&`` of a silent two, and ``3 e< &<``
two ghost notes. All else is as in the count line of a bar.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars import count_line
from rhythms.engine.bars.count_tokens import BAR_LINE, bars_in
from rhythms.engine.bars.meter import Meter
from rhythms.engine.bars.struck_counts import StruckCount, parse_struck
from rhythms.engine.bars.writing import Event
from rhythms.engine.errors import CountLineError

GHOST = "<"
_GHOSTED = re.compile(r"[^\s|]*<[^\s|]*")
_SOFT_COUNT = re.compile(r"[^\s()<>|-]+<")


class LineHit(NamedTuple):
    """A stroke at ``onset`` quarters; ``column`` is where its count is typed."""

    onset: Fraction
    dynamic: str
    column: int = 0


@lru_cache(maxsize=512)  # a take is held against all grooves that there are
def read_line(text: str, meter: Meter) -> tuple[LineHit, ...]:
    """What a line has its drum play; one bar stands for each bar of ``meter``.

    Raises CountLineError with the column and what was expected there.
    """
    bars = bars_in(text)
    if bars > meter.bars:
        lines = [column for column, letter in enumerate(text) if letter == BAR_LINE]
        has = "one bar" if meter.bars == 1 else f"{meter.bars} bars"
        words = f"This pattern has {has}: leave out the bar line."
        raise CountLineError(lines[meter.bars - 1], BAR_LINE, (), words)
    soft = _soft_columns(text)
    struck = parse_struck(text.replace(GHOST, " "), meter.over(bars))
    hits = tuple(LineHit(at.onset, _dynamic(at, soft), at.column) for at in struck)
    if bars == meter.bars:
        return hits
    shift = meter.bar_length
    return tuple(
        hit._replace(onset=hit.onset + bar * shift) for bar in range(meter.bars) for hit in hits
    )


def _dynamic(struck: StruckCount, soft: frozenset[int]) -> str:
    if struck.column in soft:
        return "ghost"
    return "accent" if struck.accent else "normal"


def _soft_columns(text: str) -> frozenset[int]:
    """Where ghost notes are typed. Raises CountLineError where the sign stands at no stroke."""
    columns = set()
    for match in _GHOSTED.finditer(text):
        if not _SOFT_COUNT.fullmatch(match[0]):
            raise CountLineError(
                match.start(), match[0], ("3", "3>", "3<", "(3)"), "This is not a count."
            )
        columns.add(match.start())
    return frozenset(columns)


def spell_line(hits: Iterable[LineHit], meter: Meter) -> str:
    """The inverse of ``read_line``; "" for a drum that is not struck. Raises NotCountableError."""
    struck = {hit.onset: hit for hit in sorted(hits)}
    if not struck:
        return ""
    silent = {beat.onset for beat in meter.beats} - struck.keys()
    events = [Event(onset, accent=hit.dynamic == "accent") for onset, hit in struck.items()]
    events += [Event(onset, rest=True) for onset in silent]
    bars = count_line.spell(tuple(sorted(events)), meter).split(f" {BAR_LINE} ")
    soft = iter(hit.dynamic == "ghost" for hit in struck.values())
    words = [[_with_ghost(word, soft) for word in bar.split()] for bar in bars]
    return f" {BAR_LINE} ".join(" ".join(_only_struck(bar)) for bar in words)


def _with_ghost(word: str, soft: Iterator[bool]) -> str:
    """``word`` with the sign, where it is the count of a ghost note."""
    if word.startswith(("(", "-")):
        return word
    return f"{word}{GHOST}" if next(soft) else word


def _only_struck(words: list[str]) -> list[str]:
    """Without the rests of beats in which nothing is struck; a silent bar keeps its first."""
    following = [*words[1:], ""]
    kept = [
        word
        for word, after in zip(words, following, strict=True)
        if not (word.startswith("(") and (not after or after.strip("()<>").isdigit()))
    ]
    return kept or words[:1]
