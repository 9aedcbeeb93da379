"""The variety of a student's fills over the weeks: places for a template to draw.

As in `assignments.charts`, words stand beside the drawing, which is stretched to its room.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from assignments.comfort.comfort_zones import Point
from assignments.progress.charts import HEIGHT, WIDTH

#: Half the length of the mark of a single point, in weeks.
_SHORT = 0.1


@dataclass(frozen=True)
class VarietyLine:
    """A line through what is known, in a band of what it may be off by; `top` ends the scale."""

    points: tuple[Point, ...]
    lines: tuple[str, ...]
    bands: tuple[str, ...]
    top: int
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def weeks(self) -> tuple[date, ...]:
        """The day of every third point, for the words under the chart."""
        return tuple(point.day for point in self.points[::3])

    @property
    def is_drawn(self) -> bool:
        """Whether there is anything to draw."""
        return bool(self.lines)


def line(points: Sequence[Point]) -> VarietyLine:
    """Return the line through the points; it breaks where too few takes tell."""
    greatest = max((point.variety.high for point in points if point.variety), default=1.0)
    top = max(3, int(greatest) + 1)
    runs = _runs(points)
    step = WIDTH / max(1, len(points) - 1)
    return VarietyLine(
        tuple(points),
        tuple(_line(run, step, top) for run in runs),
        tuple(_band(run, step, top) for run in runs),
        top,
    )


#: Place among the points, value, low, high.
_Run = list[tuple[float, float, float, float]]


def _runs(points: Sequence[Point]) -> list[_Run]:
    runs: list[_Run] = [[]]
    for place, point in enumerate(points):
        if point.variety:
            runs[-1].append((place, point.variety.value, point.variety.low, point.variety.high))
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if run]


def _line(run: _Run, step: float, top: int) -> str:
    return _path([(place, value) for place, value, _, _ in _widened(run)], step, top)


def _band(run: _Run, step: float, top: int) -> str:
    wide = _widened(run)
    upper = [(place, high) for place, _, _, high in wide]
    lower = [(place, low) for place, _, low, _ in reversed(wide)]
    return _path(upper + lower, step, top) + "Z"


def _widened(run: _Run) -> _Run:
    """A single point becomes a short line, so that it shows."""
    if len(run) > 1:
        return run
    ((place, *numbers),) = run
    return [(place - _SHORT, *numbers), (place + _SHORT, *numbers)]  # type: ignore[list-item]


def _path(places: Sequence[tuple[float, float]], step: float, top: int) -> str:
    return "M" + "L".join(_at(place, value, step, top) for place, value in places)


def _at(place: float, value: float, step: float, top: int) -> str:
    """The scale begins at 1, the least there is."""
    y = HEIGHT - (value - 1) / (top - 1) * HEIGHT
    return f"{place * step:.2f} {y:.2f}"
