"""Strokes and fills."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.errors import FillError
from rhythms.engine.kits.surfaces import FEET, Surface

HANDS = ("R", "L")
LIMBS = ("R", "L", "RF", "LF")
DYNAMICS = ("normal", "ghost", "accent")
ORNAMENTS = ("flam", "drag", "diddle")


class Stroke(NamedTuple):
    """One limb on one surface. ``limb`` is None where the hands are not fixed."""

    surface: Surface
    limb: str | None = None
    dynamic: str = "normal"
    ornament: str | None = None

    @property
    def by_foot(self) -> bool:
        """Whether a foot plays it."""
        return self.surface in FEET


def other_hand(hand: str) -> str:
    """``R`` -> ``L`` -> ``R``."""
    return "L" if hand == "R" else "R"


@dataclass(frozen=True)
class Fill:
    """A bar with one stroke for each sounded note. Raises FillError where the numbers differ."""

    bar: Bar
    strokes: tuple[Stroke, ...]

    def __post_init__(self) -> None:
        wanted = len(self.bar.sounded)
        if len(self.strokes) != wanted:
            raise FillError(
                f"This bar has {wanted} notes to strike; {len(self.strokes)} strokes were given."
            )

    @cached_property
    def _hash(self) -> int:
        return hash((self.bar, self.strokes))

    def __hash__(self) -> int:
        # Worked out once, as for bars.
        return self._hash

    def without_hands(self) -> Fill:
        """The same fill with the hands left open; feet stay."""
        return Fill(self.bar, tuple(open_hand(stroke) for stroke in self.strokes))

    def to_json(self) -> dict[str, Any]:
        """``{"bar": …, "strokes": [[surface, limb, dynamic, ornament], …]}``."""
        return {"bar": self.bar.to_json(), "strokes": [_to_list(stroke) for stroke in self.strokes]}

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Fill:
        """The inverse of ``to_json``. Raises FillError, BarError, MeterError."""
        try:
            bar, strokes = data["bar"], [_stored(*item) for item in data["strokes"]]
        except (KeyError, TypeError, ValueError) as error:
            raise FillError(f"This is not a stored fill: {error}.") from error
        return cls(Bar.from_json(bar), tuple(strokes))


def open_hand(stroke: Stroke) -> Stroke:
    """The stroke with its hand left open; a foot stays."""
    return stroke if stroke.by_foot else stroke._replace(limb=None)


def snare_fill(bar: Bar) -> Fill:
    """The bar as it is learnt first: all on the snare."""
    return Fill(
        bar,
        tuple(
            Stroke(Surface.SNARE, dynamic="accent" if note.accent else "normal")
            for note in bar.sounded
        ),
    )


def _to_list(stroke: Stroke) -> list[str | None]:
    return [str(stroke.surface), stroke.limb, stroke.dynamic, stroke.ornament]


@lru_cache(maxsize=1024)
def _stored(surface: str, limb: str | None, dynamic: str, ornament: str | None) -> Stroke:
    """There are few different strokes, and many of each."""
    if limb not in (None, *LIMBS) or dynamic not in DYNAMICS or ornament not in (None, *ORNAMENTS):
        raise FillError(f"{[surface, limb, dynamic, ornament]} is not a stroke.")
    return Stroke(Surface(str(surface)), limb, str(dynamic), ornament)


def stroke_in_words(stroke: Stroke) -> str:
    """``floor tom, right hand``; ``accented flam on the snare``."""
    touch = {"accent": "accented ", "ghost": "ghosted "}.get(stroke.dynamic, "")
    hand = {"R": ", right hand", "L": ", left hand"}.get(stroke.limb or "", "")
    if stroke.ornament:
        return f"{touch}{stroke.ornament} on the {stroke.surface}{hand}"
    return f"{touch}{stroke.surface}{hand}"
