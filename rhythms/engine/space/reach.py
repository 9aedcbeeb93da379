"""The strokes within reach of each note before any rule narrows them."""

from __future__ import annotations

from collections.abc import Sequence

from rhythms.engine.fills.fill import HANDS, Stroke
from rhythms.engine.kits.surfaces import FEET, PLAIN, Surface
from rhythms.engine.rules.base import Bound, Opening
from rhythms.engine.rules.setting import Setting
from rhythms.engine.space.struck_together import StruckTogether


def within_reach(
    setting: Setting, rules: Sequence[Bound], *, hands: bool
) -> tuple[tuple[Stroke, ...], ...]:
    """For each note, every stroke of the kit's hand surfaces and of what the rules open.

    Ordered by surface, hand, dynamic, ornament, then by the surface of a second hand and by the
    feet beside them: the order that numbers the fills. With ``hands`` each hand stroke comes once
    for each hand, otherwise once with the hands open.
    """
    made: dict[tuple[bool, tuple[Opening, ...]], tuple[Stroke, ...]] = {}
    reach = []
    for index, note in enumerate(setting.bar.sounded):
        # Most notes are alike.
        alike = note.accent, tuple(rule.opens(index) for rule in rules)
        if alike not in made:
            made[alike] = _strokes(setting, *alike, hands)
        reach.append(made[alike])
    return tuple(reach)


def _strokes(
    setting: Setting, accented: bool, openings: tuple[Opening, ...], hands: bool
) -> tuple[Stroke, ...]:
    kit = setting.kit
    opened = {surface for opening in openings for surface in (*opening.feet, *opening.ways)}
    surfaces = [
        surface
        for surface in (*kit.surfaces, *kit.ways)
        if surface in opened or surface in kit.hand_surfaces
    ]
    written = "accent" if accented else "normal"
    dynamics = dict.fromkeys([written, *(d for opening in openings for d in opening.dynamics)])
    ornaments = dict.fromkeys([None, *(o for opening in openings for o in opening.ornaments)])
    strokes = (
        Stroke(surface, limb, dynamic, ornament)
        for surface in surfaces
        for limb in _limbs(setting, surface, hands)
        for dynamic in dynamics
        for ornament in ornaments
        if ornament is None or surface not in PLAIN
    )
    if not any(opening.pairs or opening.under for opening in openings):
        return tuple(strokes)
    together = StruckTogether.of(kit, surfaces, openings)
    return tuple(each for stroke in strokes for each in together.with_others(stroke))


def _limbs(setting: Setting, surface: Surface, hands: bool) -> tuple[str | None, ...]:
    if surface in FEET:
        return (setting.kit.foot_for(surface),)
    return HANDS if hands else (None,)
