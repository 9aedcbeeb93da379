"""Paths of an SVG, moved and scaled: their numbers written anew, in whole units."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

_COMMANDS = re.compile(r"([MLHVCSQTZ])([^MLHVCSQTZ]*)", re.IGNORECASE)
_NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")


class PathPlace(NamedTuple):
    """Where something is: scaled by ``across`` and ``up``, then moved by ``x`` and ``y``."""

    x: float = 0.0
    y: float = 0.0
    across: float = 1.0
    up: float = 1.0

    def then(self, inner: PathPlace) -> PathPlace:
        """What is placed so inside of this."""
        return PathPlace(
            self.x + self.across * inner.x,
            self.y + self.up * inner.y,
            self.across * inner.across,
            self.up * inner.up,
        )


def written(path: str, placed: PathPlace) -> str:
    """The path as it is placed; it must have no arcs."""
    return "".join(_written(path, placed))


def _written(path: str, placed: PathPlace) -> Iterator[str]:
    for command, text in _COMMANDS.findall(path):
        numbers = [float(number) for number in _NUMBER.findall(text)]
        moved = command.isupper()
        x, y = (placed.x, placed.y) if moved else (0.0, 0.0)
        match command.upper():
            case "H":
                put = [number * placed.across + x for number in numbers]
            case "V":
                put = [number * placed.up + y for number in numbers]
            case _:
                put = [
                    number * placed.up + y if place % 2 else number * placed.across + x
                    for place, number in enumerate(numbers)
                ]
        yield command + _joined(put)


def _joined(numbers: list[float]) -> str:
    """``3 4-5``: a minus parts numbers as well as a space."""
    text = ""
    for number in map(round, numbers):
        text += f"{number}" if not text or number < 0 else f" {number}"
    return text


def points(path: str, placed: PathPlace) -> Iterator[tuple[float, float]]:
    """The points and control points of a path, as it is placed: what it reaches is within them."""
    x = y = from_x = from_y = 0.0
    for command, text in _COMMANDS.findall(path):
        numbers = [float(number) for number in _NUMBER.findall(text)]
        relative, kind = command.islower(), command.upper()
        if kind == "Z":
            x, y = from_x, from_y
            continue
        size = {"H": 1, "V": 1, "C": 6, "S": 4, "Q": 4}.get(kind, 2)
        for start in range(0, len(numbers), size):
            own = numbers[start : start + size]
            at_x, at_y = (x, y) if relative else (0.0, 0.0)
            if kind == "H":
                pairs = [(own[0] + at_x, y)]
            elif kind == "V":
                pairs = [(x, own[0] + at_y)]
            else:
                pairs = [(a + at_x, b + at_y) for a, b in zip(own[::2], own[1::2], strict=True)]
            for across, up in pairs:
                yield placed.x + placed.across * across, placed.y + placed.up * up
            x, y = pairs[-1]
        if kind == "M":
            from_x, from_y = x, y
