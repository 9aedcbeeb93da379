"""The grooves that come with the program: of our own making, after common practice.

``grooves.toml`` has them: a name, a style and a meter, how fast it is played, and a count line for
each drum as `groove_line` reads it; ``formerly`` is what assignments of before call it.
"""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path

from rhythms.engine.bars.meter import Meter
from rhythms.engine.playback.groove import Groove, GrooveError, plain_pulse
from rhythms.engine.playback.groove_pattern import GroovePattern

#: More to change to would only be in the way.
_USUAL = 5
_FILE = Path(__file__).with_name("grooves.toml")


@lru_cache(maxsize=1)
def _written() -> tuple[dict[str, object], ...]:
    return tuple(tomllib.loads(_FILE.read_text())["groove"])


@lru_cache(maxsize=1)
def patterns() -> tuple[GroovePattern, ...]:
    """Every groove of the library as it is typed, the first of a meter to be offered first."""
    return tuple(GroovePattern.from_json(row) for row in _written())


@lru_cache(maxsize=1)
def library() -> tuple[Groove, ...]:
    """Every groove that is written for one meter."""
    return tuple(pattern.groove for pattern in patterns())


@lru_cache(maxsize=1)
def _former_names() -> dict[str, str]:
    return {str(row["formerly"]): str(row["name"]) for row in _written() if "formerly" in row}


def styles() -> tuple[str, ...]:
    """The styles there are, in the order of the library."""
    return tuple(dict.fromkeys(pattern.style for pattern in patterns()))


def pattern_named(name: str) -> GroovePattern:
    """The groove of this name or former name, in whichever meter. Raises GrooveError."""
    wanted = _former_names().get(name, name)
    for pattern in patterns():
        if pattern.name == wanted:
            return pattern
    raise GrooveError(f"There is no groove “{name}” in the library.")


def grooves_for(meter: Meter) -> tuple[Groove, ...]:
    """The library's grooves in this meter, the first to be offered first; never empty."""
    there = (groove.in_meter(meter) for groove in library())
    return (*(groove for groove in there if groove), plain_pulse(meter))


def usual_grooves(meter: Meter) -> tuple[Groove, ...]:
    """The first few of them, and the plain pulse: what is offered where nobody chose."""
    *there, pulse = grooves_for(meter)
    return (*there[:_USUAL], pulse)


def groove_named(name: str, meter: Meter) -> Groove:
    """One of ``grooves_for(meter)``. Raises GrooveError, naming those there are."""
    known = {groove.name: groove for groove in grooves_for(meter)}
    found = known.get(_former_names().get(name, name))
    if found is None:
        raise GrooveError(f"There is no groove “{name}” in {meter}; there are {', '.join(known)}.")
    return found
