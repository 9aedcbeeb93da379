"""What the feet keep playing, bar after bar, whatever the hands do: an ostinato."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, NamedTuple

from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import FillError
from rhythms.engine.kits.surfaces import FEET, RANK, Surface

_DYNAMICS = ("normal", "ghost", "accent")


class FootHit(NamedTuple):
    """A foot on ``surface`` at ``onset``, in quarter lengths from the bar line."""

    onset: Fraction
    surface: Surface
    dynamic: str = "normal"


@dataclass(frozen=True)
class Ostinato:
    """One bar that the feet repeat: ``hits`` in order, at most one on a surface at one onset.

    ``name`` is how it is said: ``samba``, ``hi-hat foot on 2 and 4``. Raises FillError for a hit of
    a hand, or outside the bar.
    """

    name: str
    meter: Meter
    hits: tuple[FootHit, ...]

    def __post_init__(self) -> None:
        for hit in self.hits:
            if hit.surface not in FEET:
                raise FillError(f"No foot strikes the {hit.surface}.")
            if not 0 <= hit.onset < self.meter.length:
                raise FillError(f"A bar of {self.meter} has no place at {hit.onset} quarters.")

    @property
    def surfaces(self) -> frozenset[Surface]:
        """What the feet strike."""
        return frozenset(hit.surface for hit in self.hits)

    def over(self, bars: int) -> tuple[FootHit, ...]:
        """So many bars of it, onsets from the first bar line."""
        starts = (number * self.meter.length for number in range(bars))
        return tuple(hit._replace(onset=start + hit.onset) for start in starts for hit in self.hits)

    def to_json(self) -> dict[str, Any]:
        """``{"name": …, "meter": "4/4", "hits": [[onset, surface, dynamic], …]}``."""
        hits = [[str(hit.onset), str(hit.surface), hit.dynamic] for hit in self.hits]
        return {"name": self.name, "meter": str(self.meter), "hits": hits}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Ostinato:
        """The inverse of ``to_json``. Raises FillError, MeterError."""
        try:
            hits = tuple(tuple(item) for item in data["hits"])
            return _stored(data["name"], data["meter"], hits)
        except (KeyError, TypeError, ValueError) as error:
            raise FillError(f"This is not what feet keep playing: {error}.") from error


@lru_cache(maxsize=64)
def _stored(name: str, meter: str, hits: tuple[tuple[str, ...], ...]) -> Ostinato:
    return ostinato(name, Meter.parse(meter), (_hit(*item) for item in hits))


def _hit(onset: str, surface: str, dynamic: str) -> FootHit:
    if dynamic not in _DYNAMICS:
        raise FillError(f"“{dynamic}” is not how a foot strikes.")
    return FootHit(Fraction(onset), Surface(surface), dynamic)


def ostinato(name: str, meter: Meter, hits: Iterable[FootHit]) -> Ostinato:
    """An ostinato of hits in any order; of two on one surface at one onset the first one stays."""
    once = {(hit.onset, RANK[hit.surface]): hit for hit in reversed(tuple(hits))}
    return Ostinato(name, meter, tuple(once[place] for place in sorted(once)))


def together(ostinatos: Iterable[Ostinato]) -> Ostinato | None:
    """All of them at once; None for none. They have one meter."""
    each = tuple(ostinatos)
    if len(each) < 2:
        return each[0] if each else None
    names = " and ".join(dict.fromkeys(one.name for one in each))
    return ostinato(names, each[0].meter, (hit for one in each for hit in one.hits))
