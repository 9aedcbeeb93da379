"""Strokes and fills."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any, NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.errors import FillError
from rhythms.engine.fills.ostinato import FootHit, Ostinato
from rhythms.engine.kits.surfaces import FEET, RANK, Surface, base, called

HANDS = ("R", "L")
LIMBS = ("R", "L", "RF", "LF")
DYNAMICS = ("normal", "ghost", "accent")
ORNAMENTS = ("flam", "drag", "diddle", "buzz")
LIMB_NAMES = {"R": "right hand", "L": "left hand", "RF": "right foot", "LF": "left foot"}


class Hit(NamedTuple):
    """One limb on one surface. ``limb`` is None where the hands are not fixed."""

    surface: Surface
    limb: str | None = None
    dynamic: str = "normal"

    @property
    def by_foot(self) -> bool:
        """Whether a foot plays it."""
        return self.surface in FEET


class Stroke(NamedTuple):
    """What is struck at one onset: a limb on a surface, and what other limbs strike ``beside`` it.

    ``limb`` is None where the hands are not fixed. Hands come first, in the order of surfaces, then
    feet; an ornament is of a hand that strikes alone. `stroke_of` puts them in order.
    """

    surface: Surface
    limb: str | None = None
    dynamic: str = "normal"
    ornament: str | None = None
    beside: tuple[Hit, ...] = ()

    @property
    def by_foot(self) -> bool:
        """Whether only feet play it."""
        return self.surface in FEET

    @property
    def hits(self) -> tuple[Hit, ...]:
        """All that is struck."""
        return (Hit(self.surface, self.limb, self.dynamic), *self.beside)

    @property
    def surfaces(self) -> tuple[Surface, ...]:
        """All surfaces that are struck."""
        return (self.surface, *(hit.surface for hit in self.beside)) if self.beside else self[:1]

    @property
    def hand_hits(self) -> tuple[Hit, ...]:
        """What the hands strike."""
        return self.hits[: len(self.hand_surfaces)]

    @property
    def hand_surfaces(self) -> tuple[Surface, ...]:
        """The surfaces that the hands strike."""
        if self.surface in FEET:
            return ()
        return (self.surface, self.beside[0].surface) if self.both_hands else self[:1]

    @property
    def drums(self) -> tuple[Surface, ...]:
        """What is struck, however it is, in order: the hi-hat, open or closed."""
        return _drums(self) if self.beside else _ALONE[self.surface]

    @property
    def hand_drums(self) -> tuple[Surface, ...]:
        """The same of the hands."""
        if not self.beside:
            return () if self.surface in FEET else _ALONE[self.surface]
        return tuple(drum for drum in self.drums if drum not in FEET)

    @property
    def foot_hits(self) -> tuple[Hit, ...]:
        """What the feet strike."""
        return self.hits[len(self.hand_surfaces) :]

    @property
    def both_hands(self) -> bool:
        """Whether two hands strike at once."""
        return bool(self.beside) and self.beside[0].surface not in FEET


_ALONE = {surface: (base(surface),) for surface in Surface}


@lru_cache(maxsize=4096)
def _drums(stroke: Stroke) -> tuple[Surface, ...]:
    return tuple(sorted(map(base, stroke.surfaces), key=RANK.__getitem__))


def other_hand(hand: str) -> str:
    """``R`` -> ``L`` -> ``R``."""
    return "L" if hand == "R" else "R"


def stroke_of(hits: Iterable[Hit], ornament: str | None = None) -> Stroke:
    """One stroke of what is struck at one onset, in any order.

    Raises FillError, naming the limb, for what a player cannot strike at once.
    """
    in_order = sorted(hits, key=lambda hit: (hit.by_foot, RANK[hit.surface]))
    if not in_order:
        raise FillError("A stroke strikes something.")
    _check_limbs(in_order)
    first, *beside = in_order
    stroke = Stroke(first.surface, first.limb, first.dynamic, ornament, tuple(beside))
    if ornament and stroke.surface is Surface.STICKS:
        raise FillError(f"Stick on stick takes both hands: it cannot be a {ornament}.")
    if ornament and (stroke.by_foot or stroke.both_hands):
        raise FillError(f"A {ornament} is of the hands alone: no other hand can strike with it.")
    return stroke


def _check_limbs(hits: Sequence[Hit]) -> None:
    struck = sorted((base(hit.surface) for hit in hits), key=RANK.__getitem__)
    twice = [a for a, b in pairwise(struck) if a == b]
    if twice:
        raise FillError(f"The {twice[0]} is struck twice at once: write that as a flam.")
    hands = [hit for hit in hits if not hit.by_foot]
    if len(hands) > 1 and any(hit.surface is Surface.STICKS for hit in hands):
        raise FillError("Stick on stick takes both hands: no other hand can strike with it.")
    if len(hands) > len(HANDS):
        named = ", ".join(called(hit.surface) for hit in hands)
        raise FillError(f"A player has two hands; {named} cannot be struck at once.")
    limbs = [hit.limb for hit in hits if hit.limb is not None]
    doubled = [limb for limb in limbs if limbs.count(limb) > 1]
    if doubled:
        named = " and ".join(called(hit.surface) for hit in hits if hit.limb == doubled[0])
        raise FillError(f"The {LIMB_NAMES[doubled[0]]} cannot strike {named} at once.")


@dataclass(frozen=True)
class Fill:
    """A bar with one stroke for each sounded note. Raises FillError where the numbers differ.

    ``ostinato`` is what the feet keep playing under it. It is played, engraved and stored with the
    fill, and is no part of what makes it this fill and not another one. Raises FillError for one in
    another meter.
    """

    bar: Bar
    strokes: tuple[Stroke, ...]
    ostinato: Ostinato | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        wanted = len(self.bar.sounded)
        if len(self.strokes) != wanted:
            raise FillError(
                f"This bar has {wanted} notes to strike; {len(self.strokes)} strokes were given."
            )
        if self.ostinato and self.ostinato.meter != self.bar.meter.one_bar:
            raise FillError(
                f"Feet in {self.ostinato.meter} cannot go on under a fill in {self.bar.meter}."
            )

    @cached_property
    def _hash(self) -> int:
        return hash((self.bar, self.strokes))

    def __hash__(self) -> int:
        # Worked out once, as for bars.
        return self._hash

    @property
    def hits(self) -> tuple[Hit, ...]:
        """All that its strokes strike, in order of onset."""
        return tuple(hit for stroke in self.strokes for hit in stroke.hits)

    @property
    def surfaces(self) -> frozenset[Surface]:
        """All that is struck in it, by feet that keep going too."""
        going = {hit.surface for hit in self.going_on}
        return frozenset(going.union(hit.surface for hit in self.hits))

    @property
    def going_on(self) -> tuple[FootHit, ...]:
        """What the feet keep playing from its first stroke on, onsets from its bar line.

        Where a stroke has the foot on that surface already, it strikes once; while groove goes on,
        the groove says what feet do.
        """
        if self.ostinato is None:
            return ()
        struck = {
            (note.onset, surface)
            for note, stroke in zip(self.bar.sounded, self.strokes, strict=True)
            for surface in stroke.surfaces
        }
        return tuple(
            hit
            for hit in self.ostinato.over(self.bar.meter.bars)
            if (hit.onset, hit.surface) not in struck
            and not any(start <= hit.onset < end for start, end in self.bar.groove_spans)
        )

    @cached_property
    def _hands_are_open(self) -> bool:
        return all(open_hand(stroke) == stroke for stroke in self.strokes)

    def without_hands(self) -> Fill:
        """The same fill with the hands left open; feet stay."""
        if self._hands_are_open:
            return self
        strokes = tuple(open_hand(stroke) for stroke in self.strokes)
        return Fill(self.bar, strokes, self.ostinato)

    def to_json(self) -> dict[str, Any]:
        """``{"bar": …, "strokes": [[surface, limb, dynamic, ornament], …]}``.

        Where other limbs strike beside it, a stroke has a fifth part:
        ``[[surface, limb, dynamic], …]``. Feet that keep going are ``"ostinato"``.
        """
        going = {"ostinato": self.ostinato.to_json()} if self.ostinato else {}
        strokes = [_to_list(stroke) for stroke in self.strokes]
        return {"bar": self.bar.to_json(), "strokes": strokes, **going}

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Fill:
        """The inverse of ``to_json``. Raises FillError, BarError, MeterError."""
        try:
            bar, strokes = data["bar"], [_from_list(*item) for item in data["strokes"]]
            going = data.get("ostinato")
        except (KeyError, TypeError, ValueError) as error:
            raise FillError(f"This is not a stored fill: {error}.") from error
        ostinato = Ostinato.from_json(going) if going else None
        return cls(Bar.from_json(bar), tuple(strokes), ostinato)


def open_hand(stroke: Stroke) -> Stroke:
    """The stroke with its hands left open; feet stay."""
    if not stroke.beside:
        hand = stroke.limb is not None and stroke.surface not in FEET
        return Stroke(stroke.surface, None, stroke.dynamic, stroke.ornament) if hand else stroke
    if stroke.by_foot:
        return stroke
    return stroke._replace(limb=None, beside=_handed(stroke.beside, None))


def with_hand(stroke: Stroke, hand: str) -> Stroke:
    """The stroke with ``hand`` on its first surface, and the other hand on a second one."""
    if stroke.by_foot:
        return stroke
    return stroke._replace(limb=hand, beside=_handed(stroke.beside, other_hand(hand)))


def _handed(beside: tuple[Hit, ...], hand: str | None) -> tuple[Hit, ...]:
    if not beside or beside[0].by_foot:
        return beside
    return (beside[0]._replace(limb=hand), *beside[1:])


def snare_fill(bar: Bar) -> Fill:
    """The bar as it is learnt first: all on the snare."""
    return Fill(
        bar,
        tuple(
            Stroke(Surface.SNARE, dynamic="accent" if note.accent else "normal")
            for note in bar.sounded
        ),
    )


def _to_list(stroke: Stroke) -> list[Any]:
    first = [str(stroke.surface), stroke.limb, stroke.dynamic, stroke.ornament]
    beside = [[str(hit.surface), hit.limb, hit.dynamic] for hit in stroke.beside]
    return [*first, beside] if beside else first


def _from_list(
    surface: str,
    limb: str | None,
    dynamic: str,
    ornament: str | None,
    beside: Iterable[Iterable[str | None]] = (),
) -> Stroke:
    return _stored(surface, limb, dynamic, ornament, tuple(tuple(hit) for hit in beside))


@lru_cache(maxsize=1024)
def _stored(
    surface: str,
    limb: str | None,
    dynamic: str,
    ornament: str | None,
    beside: tuple[tuple[Any, ...], ...],
) -> Stroke:
    """There are few different strokes, and many of each."""
    if ornament not in (None, *ORNAMENTS):
        raise FillError(f"{[surface, limb, dynamic, ornament]} is not a stroke.")
    return stroke_of((_hit(*each) for each in ((surface, limb, dynamic), *beside)), ornament)


def _hit(surface: str, limb: str | None, dynamic: str) -> Hit:
    if limb not in (None, *LIMBS) or dynamic not in DYNAMICS:
        raise FillError(f"{[surface, limb, dynamic]} is not a stroke.")
    return Hit(Surface(str(surface)), limb, str(dynamic))


def stroke_in_words(stroke: Stroke) -> str:
    """``floor tom, right hand``; ``accented flam on the snare``; ``crash with the bass drum``;
    ``snare with the floor tom, left and right hand``.
    """
    touch = _TOUCHES.get(stroke.dynamic, "")
    hand = f", {LIMB_NAMES[stroke.limb]}" if stroke.limb in HANDS else ""
    if hand and stroke.both_hands:
        hand = f", {' and '.join(_SIDES[hit.limb] for hit in stroke.hand_hits if hit.limb)} hand"
    struck = called(stroke.surface)
    what = f"{stroke.ornament} on the {struck}" if stroke.ornament else struck
    beside = [f"{_TOUCHES.get(hit.dynamic, '')}{called(hit.surface)}" for hit in stroke.beside]
    with_others = f" with the {' and the '.join(beside)}" if beside else ""
    return f"{touch}{what}{with_others}{hand}"


_SIDES = {"R": "right", "L": "left"}
_TOUCHES = {"accent": "accented ", "ghost": "ghosted "}
