"""The groove in the editor, half written: a line for each drum, and what is wrong with them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.core.exceptions import ValidationError

from rhythms.engine import EngineError, Fill, Meter, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel, named_feels
from rhythms.engine.playback.groove import Groove
from rhythms.engine.playback.groove_fill import groove_fill, groove_fills
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.error_adapters import as_validation_error
from studio.forms import number_in

LINE, SETUP = "line", "setup"
#: Those that have a word.
FEELS = named_feels(Meter(4, 4))
#: Drums that most grooves have; the others are shown where they have a line, or asked for.
USUAL = (
    Surface.HI_HAT,
    Surface.OPEN_HI_HAT,
    Surface.RIDE,
    Surface.SNARE,
    Surface.CROSS_STICK,
    Surface.BASS_DRUM,
    Surface.HI_HAT_FOOT,
)
#: As lines stand one above the other: what is high on the staff first, feet last.
IN_ROWS = (*USUAL[:5], *(one for one in Surface if one not in USUAL), *USUAL[5:])


def field_name(part: str, surface: Surface) -> str:
    """``line-hi-hat``, ``setup-bass-drum``: what a form calls the line of a drum."""
    return f"{part}-{str(surface).replace(' ', '-')}"


def feel_value(feel: Feel) -> str:
    """``eighths 67``: what a form sends for a feel."""
    return f"{feel.unit} {feel.swing}"


def read_feel(value: str) -> Feel:
    """The inverse of ``feel_value``; straight for what is none."""
    return next((feel for feel in FEELS if feel_value(feel) == value), STRAIGHT)


@dataclass(frozen=True)
class GrooveDraft:
    """``lines`` and ``setup`` as typed, without those that are empty."""

    meter: str
    lines: Mapping[Surface, str]
    setup: Mapping[Surface, str]
    feel: Feel = STRAIGHT
    #: Slowest and fastest; what is no tempo is said by its own field.
    tempos: tuple[int, int] = (GroovePattern.slowest, GroovePattern.fastest)

    @classmethod
    def typed(cls, on_page: Mapping[str, str]) -> "GrooveDraft":
        """From the fields of a form."""
        lines, setup = (
            {
                surface: text
                for surface in IN_ROWS
                if (text := on_page.get(field_name(part, surface), "")).strip()
            }
            for part in (LINE, SETUP)
        )
        slowest, fastest = (number_in(str(on_page.get(n, "")), 999) for n in ("slowest", "fastest"))
        tempos = (slowest or GroovePattern.slowest, fastest or GroovePattern.fastest)
        feel = read_feel(on_page.get("feel", ""))
        return cls(on_page.get("meter", ""), lines, setup, feel, tempos)

    @cached_property
    def pattern(self) -> GroovePattern:
        """Raises MeterError."""
        meter = Meter.parse(self.meter)
        return GroovePattern("groove", meter, self.lines, self.setup, "", *self.tempos, self.feel)

    def kept(self) -> dict[str, dict[str, Any]]:
        """What a groove keeps of it: its lines by the names of their drums, and its feel."""
        return {
            "lines": {str(surface): text for surface, text in self.lines.items()},
            "setup": {str(surface): text for surface, text in self.setup.items()},
            "feel": {} if self.feel.is_straight else self.feel.to_json(),
        }

    @cached_property
    def problems(self) -> dict[str, ValidationError]:
        """What is wrong, by the name of the field; "" for what is wrong with no one line."""
        return dict(self._problems())

    def _problems(self) -> Iterator[tuple[str, ValidationError]]:
        try:
            problems = self.pattern.problems
        except EngineError as error:
            yield "meter", as_validation_error(error)
            return
        for problem in problems:
            part = SETUP if problem.setup else LINE
            yield field_name(part, problem.surface), as_validation_error(problem)
        if not problems:
            try:
                groove_fill(self.pattern.groove)
            except EngineError as error:
                yield "", as_validation_error(error)

    @property
    def groove(self) -> Groove | None:
        """What can be heard and seen; None while something is wrong."""
        return None if self.problems else self.pattern.groove

    @property
    def fills(self) -> tuple[Fill, ...]:
        """The groove as it is engraved, and the bar that leads into a fill where there is one."""
        return groove_fills(self.groove) if self.groove else ()
