"""A count line cut into what is typed: counts and bar lines, each with its column."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from rhythms.engine.bars.meter import MOST_BARS, Meter
from rhythms.engine.errors import CountLineError

BAR_LINE = "|"
_TOKEN = re.compile(r"\||[^\s|]+")
_SHAPE = re.compile(
    r"(?P<hold>-)(?P<held>[^\s()>-]*)|\((?P<rest>[^\s()>-]+)\)|(?P<sound>[^\s()>-]+)(?P<accent>>?)"
)
_SPELLINGS = {"+": "&", "and": "&"}
#: Those of five in a beat, after its number.
OF_FIVE = ("ka", "di", "mi", "ti")
_SYLLABLES = ("e", "&", "a", "trip", "let", "ta", *OF_FIVE)
#: A line longer than this is not one bar; it keeps reading time bounded.
_MOST_COLUMNS = 400


@dataclass(frozen=True)
class Token:
    """One typed count. ``label`` is None for a bare dash: it holds through whatever comes next."""

    text: str
    column: int
    label: str | None
    hold: bool = False
    rest: bool = False
    accent: bool = False


class TypedBarLine(NamedTuple):
    """``before`` which token it stands, and in which column."""

    before: int
    column: int


def tokens_of(text: str, meter: Meter) -> tuple[tuple[Token, ...], tuple[TypedBarLine, ...]]:
    """The counts, and the bar lines between them. Raises CountLineError."""
    if len(text) > _MOST_COLUMNS:
        raise CountLineError(_MOST_COLUMNS, "", (), f"A bar takes at most {_MOST_COLUMNS} columns.")
    tokens: list[Token] = []
    lines: list[TypedBarLine] = []
    for match in _TOKEN.finditer(text):
        if match[0] == BAR_LINE:
            lines.append(TypedBarLine(len(tokens), match.start()))
        else:
            tokens.append(_token(match[0], match.start(), meter))
    return tuple(tokens), tuple(lines)


def bars_in(text: str) -> int:
    """How many bars a count line has, by its bar lines. Raises CountLineError for too many."""
    lines = [place for place, letter in enumerate(text) if letter == BAR_LINE]
    if len(lines) >= MOST_BARS:
        raise CountLineError(
            lines[MOST_BARS - 1], BAR_LINE, (), f"A fill has {MOST_BARS} bars at most."
        )
    return len(lines) + 1


def meter_of(text: str, of_a_bar: Meter) -> Meter:
    """The meter over as many bars as the line has; a first bar that begins late is a pick-up.

    Raises CountLineError for too many bars.
    """
    bars, first = bars_in(text), _TOKEN.search(text)
    if bars == 1 or first is None or first[0] == BAR_LINE:
        return of_a_bar.over(bars)
    counts = _before_the_bar_line(first[0], of_a_bar)
    return of_a_bar.over(bars - 1).after_pickup(counts) if counts else of_a_bar.over(bars)


def _before_the_bar_line(text: str, meter: Meter) -> int:
    """How many counts a bar has that begins like this; 0 for a whole bar, or for no count."""
    try:
        first = _token(text, 0, meter)
    except CountLineError:
        return 0
    if first.hold or first.label is None:
        return 0
    return (meter.count - int(first.label) + 1) % meter.count if first.label.isdigit() else 1


def _token(text: str, column: int, meter: Meter) -> Token:
    shape = _SHAPE.fullmatch(text)
    if shape is None:
        raise CountLineError(column, text, ("3", "(3)", "3>", "-"), "This is not a count.")
    spoken = shape["held"] or shape["rest"] or shape["sound"]
    label = _label(spoken, column, text, meter) if spoken else None
    return Token(
        text, column, label, bool(shape["hold"]), bool(shape["rest"]), bool(shape["accent"])
    )


def _label(spoken: str, column: int, text: str, meter: Meter) -> str:
    label = _SPELLINGS.get(spoken.lower(), spoken.lower())
    number = label.isascii() and label.isdigit()
    if number and 1 <= int(label[:4]) <= meter.count:
        return str(int(label))
    if number:
        raise CountLineError(
            column,
            text,
            (),
            f"A bar of {meter.count}/{meter.unit} counts from 1 to {meter.count}.",
        )
    if label not in _SYLLABLES:
        raise CountLineError(column, text, ("a number", *_SYLLABLES), "This is not a count.")
    return label
