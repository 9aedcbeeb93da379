"""A kit: the surfaces a player owns, and which way round they stand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from rhythms.engine.errors import KitError
from rhythms.engine.kits.surfaces import FEET, KIT_SURFACES, WAYS, Surface

_STANDARD = (
    Surface.SNARE,
    Surface.HIGH_TOM,
    Surface.MID_TOM,
    Surface.FLOOR_TOM,
    Surface.HI_HAT,
    Surface.RIDE,
    Surface.CRASH,
    Surface.COWBELL,
    Surface.BASS_DRUM,
    Surface.HI_HAT_FOOT,
)


@dataclass(frozen=True)
class Kit:
    """``surfaces`` in a fixed order (it numbers the fills); ``left_handed`` mirrors kit and hands.

    Ways of striking a surface (``WAYS``) are not listed: they come with it. Raises KitError for a
    repeated surface, a way of striking, or a kit without a hand surface.
    """

    surfaces: tuple[Surface, ...]
    left_handed: bool = False

    def __post_init__(self) -> None:
        if len(set(self.surfaces)) != len(self.surfaces):
            raise KitError("A kit names each surface once.", field="surfaces")
        for way in (surface for surface in self.surfaces if surface in WAYS):
            raise KitError(
                f"“{way}” is a way of striking: a kit lists its drums and cymbals.",
                field="surfaces",
            )
        if not self.hand_surfaces:
            raise KitError("A kit needs at least one surface for the hands.", field="surfaces")

    @classmethod
    def of(cls, names: Iterable[str], *, left_handed: bool = False) -> Kit:
        """A kit from surface names, ordered as Surface orders them. Raises KitError."""
        chosen = list(names)
        unknown = [name for name in chosen if name not in tuple(Surface)]
        if unknown:
            known = ", ".join(KIT_SURFACES)
            raise KitError(f"“{unknown[0]}” is not a surface; there are {known}.", field="surfaces")
        if len(set(chosen)) != len(chosen):
            raise KitError("A kit names each surface once.", field="surfaces")
        return cls(tuple(surface for surface in Surface if surface in chosen), left_handed)

    @classmethod
    def standard(cls, *, left_handed: bool = False) -> Kit:
        """Snare, three toms, hi-hat, ride, crash, cowbell; bass drum and hi-hat foot."""
        return cls(_STANDARD, left_handed)

    @property
    def hand_surfaces(self) -> tuple[Surface, ...]:
        """What the hands can strike, in the kit's order."""
        return tuple(surface for surface in self.surfaces if surface not in FEET)

    @property
    def ways(self) -> tuple[Surface, ...]:
        """The ways of striking that this kit has, in order: those whose drum or cymbal it has."""
        return tuple(way for way, on in WAYS.items() if on is None or on in self.surfaces)

    def has(self, surface: Surface) -> bool:
        """Whether the surface, or what this way of striking is played on, is there."""
        return surface in self.surfaces or surface in self.ways

    @property
    def leading_hand(self) -> str:
        """The stronger hand, ``"R"`` or ``"L"``."""
        return "L" if self.left_handed else "R"

    def foot_for(self, surface: Surface) -> str:
        """Which foot plays ``surface``: ``"RF"`` or ``"LF"``."""
        right = surface is Surface.BASS_DRUM
        return "RF" if right != self.left_handed else "LF"

    def to_json(self) -> dict[str, Any]:
        """``{"surfaces": [name, …], "left_handed": bool}``."""
        return {"surfaces": [str(s) for s in self.surfaces], "left_handed": self.left_handed}

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Kit:
        """The inverse of ``to_json``. Raises KitError."""
        try:
            names, left_handed = list(data["surfaces"]), bool(data.get("left_handed", False))
        except (KeyError, TypeError, AttributeError) as error:
            raise KitError("A kit is written as a list of surfaces.", field="surfaces") from error
        return cls.of(names, left_handed=left_handed)
