"""Sizes of fill spaces, written so that a person grasps them."""

from collections.abc import Iterable
from typing import NamedTuple

from rhythms.engine import FillSpace
from rhythms.engine.errors import EngineError
from rhythms.engine.space.conflict import conflict_in_words
from rhythms.engine.space.work import COUNTING, EXPLAINING, Work

MINUTES_A_YEAR = 525_960  # 365.25 days
#: Years since the Big Bang: 13.787 ± 0.020 billion (Planck Collaboration, 2018 results VI).
AGE_OF_THE_UNIVERSE = 13_787_000_000
#: From here on the digits alone say nothing any more.
HUGE = 10**15

#: So many of the largest spaces are counted for one page, why they have no fill included.
_LARGEST_TOGETHER = 4
_NOT_COUNTED = "Open it to count its fills."

_SUPERSCRIPTS = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


class _Unit(NamedTuple):
    """``minutes`` long; used for fewer than ``below`` of it."""

    minutes: int
    name: str
    below: int


_UNITS = (
    _Unit(1, "minute", 90),
    _Unit(60, "hour", 48),
    _Unit(60 * 24, "day", 60),
    _Unit(MINUTES_A_YEAR // 12, "month", 24),
    _Unit(MINUTES_A_YEAR, "year", 1_000_000),
    _Unit(MINUTES_A_YEAR * 10**6, "million year", 1000),
    _Unit(MINUTES_A_YEAR * 10**9, "billion year", AGE_OF_THE_UNIVERSE // 10**9),
)


class CountsOfAPage:
    """Counts spaces, as long as they take no longer together than a few of the largest."""

    def __init__(self) -> None:
        self._left = _LARGEST_TOGETHER * COUNTING

    def refusal(self, space: FillSpace, otherwise: str) -> str:
        """Count a space; return why it is not counted, or "".

        That is what the engine says, or `otherwise` where those before took all the time.
        """
        if self._left <= 0:
            return otherwise
        done = COUNTING
        try:
            done = space.graph.work.done
        except EngineError as error:
            return error.message
        finally:
            self._left -= done
        return ""

    def clash(self, space: FillSpace) -> str:
        """Why a space that is counted has no fill, as far as there is time; "" where it has."""
        work = Work(max(0, min(EXPLAINING, self._left)))
        said = conflict_in_words(space, work)
        self._left -= work.done
        return said


def sizes_in_words(spaces: Iterable[FillSpace]) -> list[str]:
    """The size of each space, or what to do where it cannot be counted."""
    counts = CountsOfAPage()
    return [counts.refusal(space, _NOT_COUNTED) or in_words(space.size) for space in spaces]


def in_words(size: int) -> str:
    """The exact size, and how long it takes to play each fill once, one a minute.

    >>> in_words(16_777_216)
    '16,777,216 fills: at one a minute, 32 years'
    """
    if size < 2:
        return f"{size} fill{'' if size == 1 else 's'}"
    about = f", about {_power_of_ten(size)}" if size >= HUGE else ""
    return f"{size:,} fills{about}: at one a minute, {_duration(size)}"


def _duration(minutes: int) -> str:
    for unit in _UNITS:
        number = _rounded(minutes, unit.minutes)
        if number < unit.below:
            return f"{number:,} {unit.name}{'' if number == 1 else 's'}"
    return "longer than the universe has been there"


def _rounded(number: int, by: int) -> int:
    """To the nearest whole, halves up; in integers, since sizes outgrow floats."""
    return (2 * number + by) // (2 * by)


def _power_of_ten(number: int) -> str:
    """``6 × 10²⁷``, ``1.2 × 10²⁷``."""
    exponent = len(str(number)) - 1
    tenths = _rounded(number, 10 ** (exponent - 1))
    if tenths == 100:
        exponent, tenths = exponent + 1, 10
    whole, tenth = divmod(tenths, 10)
    mantissa = f"{whole}.{tenth}" if tenth else str(whole)
    return f"{mantissa} × 10{str(exponent).translate(_SUPERSCRIPTS)}"
