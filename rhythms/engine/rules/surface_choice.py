"""A choice of surfaces, by name, by family, or by what it leaves out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from rhythms.engine.errors import RuleError, one_of
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import (
    ANYTHING,
    ANYTHING_BUT,
    FAMILIES,
    FEET,
    Surface,
    base,
    called,
)
from rhythms.engine.rules.json_reading import read_names

#: How something is said to be struck that is not struck on something.
_SAID: dict[str, str] = {
    Surface.CROSS_STICK: "with a",
    Surface.RIM_SHOT: "with a",
    Surface.STICKS: "",
}
_NAMES = (*Surface, *FAMILIES, ANYTHING)


@dataclass(frozen=True)
class SurfaceChoice:
    """``names`` of surfaces and families; with ``but``, all hand surfaces except these."""

    names: tuple[str, ...]
    but: bool = False

    @classmethod
    def from_json(cls, value: Any, field: str = "surfaces") -> SurfaceChoice:
        """From a list of names or ``{"anything but": [...]}``. Raises RuleError for ``field``."""
        if isinstance(value, dict):
            if set(value) != {ANYTHING_BUT}:
                raise RuleError('Write {"anything but": [names]}.', field=field)
            return cls(read_names(value[ANYTHING_BUT], field, _NAMES), but=True)
        return cls(read_names(value, field, _NAMES))

    @classmethod
    def of_one_hand(cls, data: dict[str, Any], field: str) -> SurfaceChoice:
        """What one hand strikes by itself, of a rule's JSON form. Raises RuleError."""
        choice = cls.of_hands(data, field)
        if Surface.STICKS in choice.names:
            why = "Stick on stick takes both hands: choose what one hand strikes here."
            raise RuleError(why, field=field)
        return choice

    @classmethod
    def of_hands(cls, data: dict[str, Any], field: str) -> SurfaceChoice:
        """What hands strike, from a part of a rule's JSON form. Raises RuleError."""
        if field not in data:
            raise RuleError("Choose at least one surface.", field=field)
        choice = cls.from_json(data[field], field)
        for name in choice.names:
            if name in FEET:
                why = f"The {name} is played by a foot: choose what the hands strike here."
                raise RuleError(why, field=field)
        return choice

    def to_json(self) -> Any:
        """The inverse of ``from_json``."""
        names = [str(name) for name in self.names]
        return {ANYTHING_BUT: names} if self.but else names

    def on(self, kit: Kit) -> frozenset[Surface]:
        """The chosen surfaces that this kit has, with all ways of striking them."""
        named = frozenset(surface for name in self.names for surface in _expand(name, kit))
        named |= {way for way in kit.ways if base(way) in named}
        if self.but:
            return frozenset((*kit.hand_surfaces, *kit.ways)) - named
        return named & frozenset((*kit.surfaces, *kit.ways))

    def kept(self, kit: Kit) -> Callable[[tuple[Stroke, ...]], tuple[Stroke, ...]]:
        """What keeps the strokes that go there.

        Of two hands at once one is enough; with ``but`` neither may be elsewhere. Feet beside the
        hands say nothing, unless a surface of theirs is named: then they count like a hand.
        """
        chosen, left_out = self.on(kit), frozenset(FEET).intersection(self.names)

        def goes(stroke: Stroke) -> bool:
            if not self.but:
                # Feet are among those chosen only where they are named.
                return not chosen.isdisjoint(stroke.surfaces)
            there = chosen.issuperset(stroke.hand_surfaces or stroke.surfaces)
            return there and left_out.isdisjoint(stroke.surfaces)

        def keep(strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            return tuple(
                stroke
                for stroke in strokes
                if (goes(stroke) if stroke.beside else stroke.surface in chosen)
            )

        return keep

    def feet(self, kit: Kit) -> tuple[Surface, ...]:
        """The foot surfaces named outright: families and "anything" mean hands."""
        return tuple(s for s in kit.surfaces if s in FEET and s in self.names and not self.but)

    def ways(self, kit: Kit) -> tuple[Surface, ...]:
        """The ways of striking named outright: families, "anything" and drums mean plain strokes
        where no rule asks for another way.
        """
        return () if self.but else tuple(way for way in kit.ways if way in self.names)

    def words(self) -> str:
        """``on the snare``, ``on the toms or cowbell``, ``on the snare or with a rim shot``."""
        if not self.but and ANYTHING in self.names:
            return "anywhere on the kit"
        said: dict[str, list[str]] = {}
        for name in self.names:
            said.setdefault(_SAID.get(name, "on the"), []).append(called(name))
        named = one_of(
            tuple(f"{how} {one_of(tuple(names))}".strip() for how, names in said.items())
        )
        return f"anywhere but {named}" if self.but else named

    def told_on(self, kit: Kit) -> SurfaceChoice:
        """The choice without what this kit has not; a family of one is named by that.

        As it is where nothing of it is there, which `lacks` says.
        """
        there: dict[str, None] = {}
        for name in self.names:
            members = [one for one in FAMILIES.get(name, ()) if kit.has(one)]
            if name == ANYTHING or len(members) > 1:
                there[name] = None
            elif members:
                there[members[0]] = None
            elif name not in FAMILIES and kit.has(Surface(name)):
                there[name] = None
        if not there:
            return SurfaceChoice((ANYTHING,)) if self.but else self
        return replace(self, names=tuple(there))

    def lacks(self, kit: Kit) -> str:
        """``this kit has no cowbell``; "" where it has any of the chosen surfaces."""
        if self.on(kit):
            return ""
        names = one_of(tuple(map(called, self.names)))
        return f"this kit has nothing but the {names}" if self.but else f"this kit has no {names}"


def _expand(name: str, kit: Kit) -> tuple[Surface, ...]:
    if name == ANYTHING:
        return (*kit.hand_surfaces, *kit.ways)
    return FAMILIES.get(name) or (Surface(name),)
