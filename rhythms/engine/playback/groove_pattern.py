"""A groove as it is typed and kept: a count line for each drum, and one for those that set up.

>>> from rhythms.engine import Meter, Surface
>>> pattern = GroovePattern("mine", Meter(4, 4), {Surface.SNARE: "2 4", Surface.BASS_DRUM: "1 3 &"})
>>> [(str(hit.onset), str(hit.surface)) for hit in pattern.groove.hits][:2]
[('0', 'bass drum'), ('1', 'snare')]
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from rhythms.engine.bars.count_tokens import BAR_LINE
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import CountLineError
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove import Groove, GrooveError, GrooveHit, in_order
from rhythms.engine.playback.groove_clashes import GrooveClash, Played, clashes
from rhythms.engine.playback.groove_line import read_line

Lines = Mapping[Surface, str]
MOST_GROOVE_BARS = 2

NOTHING_STRUCK = "Nothing is struck yet. Type when one of the drums is: 2 4 on the snare, say."


class GrooveLineError(GrooveError):
    """A line that cannot be read or played: of ``surface``, of the set-up bar where ``setup``.

    ``column`` is the 0-based column at fault.
    """

    code = "groove-line"

    def __init__(self, message: str, surface: Surface, column: int, *, setup: bool = False) -> None:
        super().__init__(message)
        self.field = f"{'setup' if setup else 'line'} {surface}"
        self.surface = surface
        self.column = column
        self.setup = setup


@dataclass(frozen=True)
class GroovePattern:
    """``lines`` of one bar or two; ``meter`` of one bar; ``style`` in the trade's words.

    ``setup`` is one bar that leads into a fill: drums without a line there go on as in the groove.
    It is played well at ``slowest`` to ``fastest`` quarters a minute, with this ``feel``.
    """

    name: str
    meter: Meter
    lines: Lines
    setup: Lines = field(default_factory=dict)
    style: str = ""
    slowest: int = 60
    fastest: int = 160
    feel: Feel = STRAIGHT

    @cached_property
    def bars(self) -> int:
        """How many bars its longest line has."""
        lines = [text.count(BAR_LINE) + 1 for text in self.lines.values()]
        return min(max(lines, default=1), MOST_GROOVE_BARS)

    @property
    def middle_tempo(self) -> int:
        """Between its slowest and its fastest, in fives: to hear it at."""
        return 5 * round((self.slowest + self.fastest) / 10)

    @cached_property
    def groove(self) -> Groove:
        """What is played. Raises GrooveLineError for the first line that cannot be."""
        for problem in self.problems:
            raise problem
        if not any(self.whole.values()):
            raise GrooveError(NOTHING_STRUCK)
        setups = [_hits(self.leading_in(bar)) for bar in range(self.bars)] if self.setup else []
        meter = self.meter.over(self.bars)
        return Groove(self.name, meter, _hits(self.whole), self.feel, tuple(setups))

    @cached_property
    def problems(self) -> tuple[GrooveLineError, ...]:
        """What is wrong, line by line; nothing where it can be played."""
        unread = [*self._misread(self.lines), *self._misread(self.setup, setup=True)]
        return tuple(unread or [*self._clashes(), *self._setup_clashes()])

    @cached_property
    def whole(self) -> Played:
        """What each drum with a line plays in all bars. Raises CountLineError."""
        meter = self.meter.over(self.bars)
        return {surface: read_line(text, meter) for surface, text in self.lines.items()}

    @cached_property
    def _read_setup(self) -> Played:
        return {surface: read_line(text, self.meter) for surface, text in self.setup.items()}

    def _misread(self, lines: Lines, *, setup: bool = False) -> Iterator[GrooveLineError]:
        meter = self.meter if setup else self.meter.over(self.bars)
        for surface, text in lines.items():
            try:
                read_line(text, meter)
            except CountLineError as error:
                yield GrooveLineError(error.message, surface, error.column, setup=setup)

    def _clashes(self) -> Iterator[GrooveLineError]:
        for clash in clashes(self.whole, self.meter.over(self.bars)):
            yield _at(clash, clash.surfaces[-1], self.whole)

    def _setup_clashes(self) -> Iterator[GrooveLineError]:
        """Those of the first bar that it cannot take the place of."""
        if not self.setup or any(True for _ in self._clashes()):
            return
        for bar in range(self.bars):
            played = self.leading_in(bar)
            for clash in clashes(played, self.meter):
                typed = [one for one in clash.surfaces if one in self.setup] or list(self.setup)
                yield _at(clash, typed[-1], self._read_setup, setup=True)
                return

    def in_bar(self, bar: int) -> Played:
        """A bar of the groove, counted from 0, onsets from its bar line. Raises CountLineError."""
        start, end = bar * self.meter.length, (bar + 1) * self.meter.length
        return {
            surface: tuple(
                hit._replace(onset=hit.onset - start) for hit in hits if start <= hit.onset < end
            )
            for surface, hits in self.whole.items()
        }

    def leading_in(self, bar: int) -> Played:
        """The same with the lines of the set-up in place of its own. Raises CountLineError."""
        return {**self.in_bar(bar), **self._read_setup}

    def to_json(self) -> dict[str, Any]:
        """Plain data; lines by the names of their drums."""
        return {
            "name": self.name,
            "meter": str(self.meter),
            "lines": {str(surface): text for surface, text in self.lines.items()},
            "setup": {str(surface): text for surface, text in self.setup.items()},
            "style": self.style,
            "slowest": self.slowest,
            "fastest": self.fastest,
            "feel": self.feel.to_json(),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> GroovePattern:
        """The inverse of ``to_json``; all but name, meter and lines may be missing.

        Raises GrooveError, MeterError, FeelError.
        """
        try:
            return cls(
                str(data["name"]),
                Meter.parse(data["meter"]),
                lines_from_json(data["lines"]),
                lines_from_json(data.get("setup", {})),
                str(data.get("style", "")),
                int(data.get("slowest", cls.slowest)),
                int(data.get("fastest", cls.fastest)),
                Feel.from_json(data.get("feel")),
            )
        except (KeyError, TypeError, AttributeError) as error:
            raise GrooveError(f"This is not a stored groove: {error}.") from error


def lines_from_json(data: Mapping[str, str]) -> dict[Surface, str]:
    """Lines by the names of their drums, in the order of surfaces. Raises GrooveError."""
    unknown = [name for name in data if name not in tuple(Surface)]
    if unknown:
        raise GrooveError(f"“{unknown[0]}” is no drum or cymbal; there are {', '.join(Surface)}.")
    return {surface: str(data[surface]) for surface in Surface if surface in data}


def _hits(played: Played) -> tuple[GrooveHit, ...]:
    return in_order(
        GrooveHit(hit.onset, surface, hit.dynamic)
        for surface, hits in played.items()
        for hit in hits
    )


def _at(
    clash: GrooveClash, surface: Surface, played: Played, *, setup: bool = False
) -> GrooveLineError:
    """The clash as an error of the line that has it, at the start where it has no stroke there."""
    hits = [hit for hit in played[surface] if hit.onset == clash.onset]
    column = hits[0].column if hits else 0
    why = f"At column {column + 1}: {clash.why[0].lower()}{clash.why[1:]}"
    return GrooveLineError(why, surface, column, setup=setup)
