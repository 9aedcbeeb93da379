"""A feel as a text in a MIDI file, which has no sign of its own for it."""

from __future__ import annotations

import re

from rhythms.engine.bars.feel import Feel
from rhythms.engine.errors import EngineError

_TEXT = re.compile(r"feel: (\d{1,3}) % (\w+)")


def feel_text(feel: Feel) -> str:
    """``feel: 67 % eighths``; "" for a straight one."""
    return "" if feel.is_straight else f"feel: {feel.swing} % {feel.unit}"


def feel_of_text(text: str) -> Feel | None:
    """The inverse of ``feel_text``; None for anything else."""
    match = _TEXT.fullmatch(text)
    try:
        return Feel(int(match[1]), match[2]) if match else None
    except EngineError:
        return None
