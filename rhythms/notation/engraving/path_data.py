"""Paths of an SVG, moved and scaled: their numbers written anew, in whole units."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

_COMMANDS = re.compile(r"([MLHVCSZ])([^MLHVCSZ]*)", re.IGNORECASE)
_NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?", re.IGNORECASE)
#: How many numbers a segment has.
_SIZES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4}

Point = tuple[float, float]


class PathPlace(NamedTuple):
    """Where something is: scaled by ``across`` and ``up``, then moved by ``x`` and ``y``."""

    x: float = 0.0
    y: float = 0.0
    across: float = 1.0
    up: float = 1.0

    def of(self, point: Point) -> Point:
        """Where a point is, placed so."""
        return self.x + self.across * point[0], self.y + self.up * point[1]

    def then(self, inner: PathPlace) -> PathPlace:
        """What is placed so inside of this."""
        return PathPlace(
            self.x + self.across * inner.x,
            self.y + self.up * inner.y,
            self.across * inner.across,
            self.up * inner.up,
        )


class _Segment(NamedTuple):
    """One of a command's, from where to its control points and end: absolute, not placed yet."""

    start: Point
    ends: Sequence[Point]


def written(path: str, placed: PathPlace) -> str:
    """The path as it is placed; it must have no arcs and no quadratic curves.

    Every point is rounded where it is, not each step to it: what steps lose does not add up.
    """
    return "".join(
        command + _joined(_numbers(command, segments, placed))
        for command, segments in _commands(path)
    )


def _numbers(command: str, segments: Sequence[_Segment], placed: PathPlace) -> Iterator[int]:
    for start, ends in segments:
        from_x, from_y = _rounded(start, placed) if command.islower() else (0, 0)
        for x, y in (_rounded(end, placed) for end in ends):
            if command not in "Vv":
                yield x - from_x
            if command not in "Hh":
                yield y - from_y


def _rounded(point: Point, placed: PathPlace) -> tuple[int, int]:
    x, y = placed.of(point)
    return round(x), round(y)


def _joined(numbers: Iterator[int]) -> str:
    """``3 4-5``: a minus parts numbers as well as a space."""
    text = ""
    for number in numbers:
        text += f"{number}" if not text or number < 0 else f" {number}"
    return text


def points(path: str, placed: PathPlace) -> Iterator[Point]:
    """The points and control points of a path, as it is placed: what it reaches is within them."""
    last: Point | None = None
    for command, segments in _commands(path):
        for start, ends in segments:
            if command in "Ss" and last is not None:
                # Its first control point is that before it, on the other side.
                yield placed.of((2 * start[0] - last[0], 2 * start[1] - last[1]))
            yield from map(placed.of, ends)
            last = ends[-2] if command in "CcSs" else None


def _commands(path: str) -> Iterator[tuple[str, list[_Segment]]]:
    """Each command with its segments; one that closes has none."""
    at = opened = (0.0, 0.0)
    for command, numbers in _told(path):
        kind = command.upper()
        if kind == "Z":
            at = opened
        segments = []
        for first in range(0, len(numbers), _SIZES.get(kind, 1)):
            own = numbers[first : first + _SIZES[kind]]
            ends = _ends(kind, own, at, relative=command.islower())
            segments.append(_Segment(at, ends))
            at = ends[-1]
        if kind == "M":
            opened = at
        yield command, segments


def _told(path: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its numbers: a move has one pair, others behind it are lines.

    The first is absolute, however it is written.
    """
    for place, (command, text) in enumerate(_COMMANDS.findall(path)):
        numbers = [float(number) for number in _NUMBER.findall(text)]
        if command not in "Mm":
            yield command, numbers
            continue
        yield (command if place else "M"), numbers[:2]
        if numbers[2:]:
            yield ("L" if command == "M" else "l"), numbers[2:]


def _ends(kind: str, own: Sequence[float], at: Point, *, relative: bool) -> Sequence[Point]:
    x, y = at
    from_x, from_y = at if relative else (0.0, 0.0)
    if kind == "H":
        return [(own[0] + from_x, y)]
    if kind == "V":
        return [(x, own[0] + from_y)]
    return [(a + from_x, b + from_y) for a, b in zip(own[::2], own[1::2], strict=True)]
