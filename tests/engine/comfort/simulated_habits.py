"""Playing of known habits."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from random import Random
from typing import Any

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface
from rhythms.engine.comfort import PlayedFill, Playing

FIRST_DAY = date(2026, 9, 7)
KIT = Kit.standard()
TURNS = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")
SIXTEENTHS = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
EIGHTHS_STAY = RuleSet.from_json(
    [{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}]
)
SNARE, HIGH, MID, FLOOR = Surface.SNARE, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM


def space(bar: Bar = TURNS, rules: RuleSet = EIGHTHS_STAY) -> FillSpace:
    return FillSpace(bar, rules, KIT)


def on(surfaces: Iterable[Surface], bar: Bar = SIXTEENTHS, hands: str = "") -> Fill:
    """A fill of these surfaces, with a letter for each hand where there are some."""
    limbs = list(hands) or [None] * len(bar.sounded)
    pairs = zip(surfaces, limbs, strict=True)
    return Fill(bar, tuple(Stroke(surface, limb) for surface, limb in pairs))


def walk_down(start: int = 8) -> Fill:
    """On the snare up to this 16th, then down three toms."""
    return on([SNARE] * start + [HIGH] * 2 + [MID] * 2 + [FLOOR] * (12 - start))


def anything(random: Random, bar: Bar = SIXTEENTHS) -> Fill:
    return on([random.choice(KIT.hand_surfaces) for _ in bar.sounded], bar)


def plays_of(
    fills: Sequence[Fill],
    a_take: int = 1,
    seconds: Callable[[int], float] = lambda number: 4.0,
    asked: FillSpace | None = None,
) -> list[PlayedFill]:
    """One fill after the other, so many to a take, a take a day."""
    return [
        PlayedFill(
            fill,
            FIRST_DAY + timedelta(days=number // a_take),
            seconds(number),
            f"take {number // a_take}",
            asked,
        )
        for number, fill in enumerate(fills)
    ]


def played(fills: Sequence[Fill], a_take: int = 1, **details: Any) -> Playing:
    """What is looked at of these."""
    return Playing.of(plays_of(fills, a_take, **details))
