"""The strokes within reach of each note before any rule narrows them."""

from __future__ import annotations

from collections.abc import Sequence

from rhythms.engine.fills.fill import HANDS, Stroke
from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.rules.base import Bound, Opening
from rhythms.engine.rules.setting import Setting


def within_reach(
    setting: Setting, rules: Sequence[Bound], *, hands: bool
) -> tuple[tuple[Stroke, ...], ...]:
    """For each note, every stroke of the kit's hand surfaces and of what the rules open.

    Ordered by surface, hand, dynamic, ornament: the order that numbers the fills. With
    ``hands`` each hand stroke comes once for each hand, otherwise once with the hand open.
    """
    return tuple(
        _strokes(setting, index, [rule.opens(index) for rule in rules], hands)
        for index in range(len(setting.bar.sounded))
    )


def _strokes(
    setting: Setting, index: int, openings: list[Opening], hands: bool
) -> tuple[Stroke, ...]:
    feet = {surface for opening in openings for surface in opening.feet}
    written = "accent" if setting.bar.sounded[index].accent else "normal"
    dynamics = dict.fromkeys([written, *(d for opening in openings for d in opening.dynamics)])
    ornaments = dict.fromkeys([None, *(o for opening in openings for o in opening.ornaments)])
    return tuple(
        Stroke(surface, limb, dynamic, ornament)
        for surface in setting.kit.surfaces
        if surface in feet or surface in setting.kit.hand_surfaces
        for limb in _limbs(setting, surface, hands)
        for dynamic in dynamics
        for ornament in ornaments
        if ornament is None or surface not in FEET
    )


def _limbs(setting: Setting, surface: Surface, hands: bool) -> tuple[str | None, ...]:
    if surface in FEET:
        return (setting.kit.foot_for(surface),)
    return HANDS if hands else (None,)
