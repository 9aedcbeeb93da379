"""A fill's name: where it travels, in at most LONGEST letters: ``Hi-hat to floor tom``.

Snare and feet are left out and repeats joined. Of the forms that say more and more a fill takes the
first that no other one has: ``Down the toms``, ``Crash and back by the ride``, ``Crash to ride from
beat 3``, ``Crash to ride, mostly hi-hat``, at last ``Crash to ride, no. 2``. Where it travels as
another one does, its name says what differs: hands, feet, accents.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from functools import cached_property
from itertools import count, groupby, pairwise, product

from rhythms.engine import Fill, Stroke, Surface
from rhythms.engine.kits.surfaces import RANK, base, called

LONGEST = 40
_TOMS = (Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM)
_SIDES = {"R": "right", "L": "left"}
#: Each onset with its stroke.
_Struck = tuple[Fraction, Stroke]


def fill_name(fill: Fill, others: Mapping[str, Fill], feel: str = "") -> str:
    """A name that none of the others has, which are fills by name, whatever their capitals.

    ``feel``: how it swings, in words, where that may be all that differs.
    """
    taken = {name.casefold() for name in others}
    route = _Route(fill, feel)
    return next(name for name in _forms(route, others) if name.casefold() not in taken)


def route_name(fill: Fill) -> str:
    """The first form of its name, as if there were no other fill."""
    return fill_name(fill, {})


def _forms(route: _Route, others: Mapping[str, Fill]) -> Iterator[str]:
    plain = route.from_to
    if others:
        same = [other for name, other in others.items() if name.startswith(plain)]
        alike = [other for other in map(_Route, same) if other.hands == route.hands]
        if alike:
            yield from _fitting(f"{plain}, {detail}" for detail in _details(route, alike))
    yield plain
    yield from _fitting(_longer(route, plain))
    for number in count(2):
        ending = f", no. {number}"
        yield plain[: LONGEST - len(ending)] + ending


def _fitting(names: Iterator[str]) -> Iterator[str]:
    return (name for name in names if len(name) <= LONGEST)


def _longer(route: _Route, plain: str) -> Iterator[str]:
    """What can be said besides, one thing at a time, then two, then all."""
    ways = [(*route.by_the, ""), (*route.from_beat, ""), (*route.mostly, *route.ending, "")]
    said = sorted(product(*ways), key=lambda parts: sum(map(bool, parts)))
    return (plain + "".join(parts) for parts in said if any(parts))


def _details(route: _Route, alike: Collection[_Route]) -> Iterator[str]:
    """What none of those that travel the same way has: hands, feet, accents, ornaments."""
    others = {detail for one in alike for detail in one.details}
    return (detail for detail in route.details if detail not in others)


class _Route:
    """Where a fill goes."""

    def __init__(self, fill: Fill, feel: str = "") -> None:
        self.fill = fill
        self.feel = feel
        onsets = (note.onset for note in fill.bar.sounded)
        self.struck: tuple[_Struck, ...] = tuple(zip(onsets, fill.strokes, strict=True))

    @cached_property
    def hands(self) -> list[tuple[Fraction, tuple[Surface, ...]]]:
        """What hands strike when, whichever hand it is."""
        return [(onset, stroke.hand_drums) for onset, stroke in self.struck if stroke.hand_drums]

    @cached_property
    def travelled(self) -> list[tuple[Fraction, Surface]]:
        """What hands strike besides the snare."""
        return [
            (onset, drum) for onset, drums in self.hands for drum in drums if drum != Surface.SNARE
        ]

    @cached_property
    def stops(self) -> list[Surface]:
        """The same, repeats joined."""
        return [drum for drum, _ in groupby(drum for _, drum in self.travelled)]

    @property
    def from_to(self) -> str:
        """The shortest form."""
        stops = self.stops
        if not stops:
            return self._at_home
        if len(set(stops)) == 1:
            return self._on_one(stops[0])
        if all(stop in _TOMS for stop in stops):
            in_order = sorted(set(stops), key=RANK.__getitem__)
            if stops in (in_order, in_order[::-1]):
                return "Down the toms" if stops == in_order else "Up the toms"
        first, last = called(stops[0]), called(stops[-1])
        return (
            f"{first} and back".capitalize() if first == last else f"{first} to {last}".capitalize()
        )

    @property
    def _at_home(self) -> str:
        """Without any travelling."""
        feet = sorted({base(hit.surface) for _, stroke in self.struck for hit in stroke.foot_hits})
        if not self.struck:
            return "A bar of rest"
        if not self.hands:
            return f"All on the {feet[0]}" if len(feet) == 1 else "All on the feet"
        if not feet:
            return "All on the snare"
        return f"Snare and {feet[0]}" if len(feet) == 1 else "Snare and feet"

    def _on_one(self, drum: Surface) -> str:
        has_snare = any(Surface.SNARE in drums for _, drums in self.hands)
        return f"Snare and {called(drum)}" if has_snare else f"All on the {called(drum)}"

    @property
    def by_the(self) -> Iterator[str]:
        """The drums between first and last, most struck first, one of them or two."""
        struck = Counter(drum for _, drum in self.travelled)
        ends = {*self.stops[:1], *self.stops[-1:]}
        between = [drum for drum, _ in struck.most_common() if drum not in ends]
        yield from (f" by the {called(drum)}" for drum in between)
        yield from (
            f" by the {called(one)} and {called(other)}" for one, other in pairwise(between)
        )

    @property
    def from_beat(self) -> Iterator[str]:
        """Where it begins to travel."""
        if self.travelled:
            yield f" from {self._when(self.travelled[0][0])}"

    @property
    def mostly(self) -> Iterator[str]:
        """What hands strike more often than anything else."""
        struck = Counter(drum for _, drums in self.hands for drum in drums)
        (most, times), *rest = struck.most_common() or [(Surface.SNARE, 0)]
        if rest and times > rest[0][1]:
            yield f", mostly {called(most)}"

    @property
    def ending(self) -> Iterator[str]:
        """When it was last anywhere else than on the snare."""
        if self.travelled:
            yield f", up to {self._when(self.travelled[-1][0])}"

    @property
    def details(self) -> Iterator[str]:
        """How it is played, besides where."""
        limb = next((stroke.limb for _, stroke in self.struck if not stroke.by_foot), None)
        if limb in _SIDES:
            yield f"starting {_SIDES[limb]}"
        for onset, stroke in self.struck:
            yield from self._signs(self._when(onset, ""), stroke)
        if self.fill.ostinato:
            yield f"over {self.fill.ostinato.name}"
        if self.feel:
            yield self.feel
        for onset, stroke in self.struck:
            if stroke.limb in _SIDES:
                yield f"{_SIDES[stroke.limb]} on {self._when(onset, '')}"

    def _signs(self, when: str, stroke: Stroke) -> Iterator[str]:
        """The feet of a stroke, its dynamics, its ornament, and ways of striking."""
        yield from (f"with {called(hit.surface)} on {when}" for hit in stroke.foot_hits)
        yield from (f"{hit.dynamic} on {when}" for hit in stroke.hits if hit.dynamic != "normal")
        if stroke.ornament:
            yield f"{stroke.ornament} on {when}"
        ways = (hit.surface for hit in stroke.hand_hits if base(hit.surface) != hit.surface)
        yield from (f"{called(way)} on {when}" for way in ways)

    def _when(self, onset: Fraction, beat: str = "beat ") -> str:
        """``beat 3``, ``the & of 3``; in a later bar ``beat 3, bar 2``."""
        meter = self.fill.bar.meter
        bar, inside = divmod(onset, meter.bar_length)
        number = int(inside / Fraction(4, meter.unit)) + 1
        word = dict(self.fill.bar.spoken).get(onset, str(number))
        where = f"{beat}{number}" if word == str(number) else f"the {word} of {number}"
        return f"{where}, bar {bar + 1}" if bar else where
