"""The strokes within reach of each note before any rule narrows them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from rhythms.engine.fills.fill import HANDS, Hit, Stroke, other_hand
from rhythms.engine.kits.surfaces import FEET, PLAIN, Surface, base
from rhythms.engine.rules.base import Bound, Opening
from rhythms.engine.rules.setting import Setting


def within_reach(
    setting: Setting, rules: Sequence[Bound], *, hands: bool
) -> tuple[tuple[Stroke, ...], ...]:
    """For each note, every stroke of the kit's hand surfaces and of what the rules open.

    Ordered by surface, hand, dynamic, ornament, then by the surface of a second hand and by the
    feet beside them: the order that numbers the fills. With ``hands`` each hand stroke comes once
    for each hand, otherwise once with the hands open.
    """
    return tuple(
        _strokes(setting, index, [rule.opens(index) for rule in rules], hands)
        for index in range(len(setting.bar.sounded))
    )


def _strokes(
    setting: Setting, index: int, openings: list[Opening], hands: bool
) -> tuple[Stroke, ...]:
    opened = {surface for opening in openings for surface in (*opening.feet, *opening.ways)}
    written = "accent" if setting.bar.sounded[index].accent else "normal"
    dynamics = dict.fromkeys([written, *(d for opening in openings for d in opening.dynamics)])
    ornaments = dict.fromkeys([None, *(o for opening in openings for o in opening.ornaments)])
    strokes = (
        Stroke(surface, limb, dynamic, ornament)
        for surface in (*setting.kit.surfaces, *setting.kit.ways)
        if surface in opened or surface in setting.kit.hand_surfaces
        for limb in _limbs(setting, surface, hands)
        for dynamic in dynamics
        for ornament in ornaments
        if ornament is None or surface not in PLAIN
    )
    if not any(opening.pairs or opening.under for opening in openings):
        return tuple(strokes)
    return tuple(
        together for stroke in strokes for together in _together(setting, openings, stroke)
    )


def _limbs(setting: Setting, surface: Surface, hands: bool) -> tuple[str | None, ...]:
    if surface in FEET:
        return (setting.kit.foot_for(surface),)
    return HANDS if hands else (None,)


def _together(setting: Setting, openings: list[Opening], stroke: Stroke) -> Iterator[Stroke]:
    """A stroke alone and with a second hand, and each with the feet that go under it."""
    if stroke.by_foot:
        yield stroke
        return
    for partner in (None, *_partners(setting, openings, stroke)):
        hit = (
            Hit(partner, stroke.limb and other_hand(stroke.limb), stroke.dynamic)
            if partner
            else None
        )
        hands = (hit,) if hit else ()
        for feet in _feet_under(
            setting, openings, {stroke.surface, *([partner] if partner else [])}
        ):
            yield stroke._replace(beside=(*hands, *feet)) if hands or feet else stroke


def _partners(setting: Setting, openings: list[Opening], stroke: Stroke) -> list[Surface]:
    """What a second hand may strike at once: each pair of surfaces is counted from its first."""
    if stroke.ornament is not None:
        return []
    pairs = {pair for opening in openings for pair in opening.pairs if stroke.surface in pair}
    others = {other for pair in pairs for other in pair if other != stroke.surface}
    behind = tuple(Surface)[tuple(Surface).index(stroke.surface) + 1 :]
    return [
        other
        for other in behind
        if other in others and setting.kit.has(other) and base(other) != base(stroke.surface)
    ]


def _feet_under(
    setting: Setting, openings: list[Opening], struck: set[Surface]
) -> Iterator[tuple[Hit, ...]]:
    choices: list[tuple[tuple[Hit, ...], ...]] = []
    for surface in (foot for foot in setting.kit.surfaces if foot in FEET):
        asked = [
            under
            for opening in openings
            for under in opening.under
            if under.surface == surface and under.on & struck
        ]
        hit = (Hit(surface, setting.kit.foot_for(surface)),)
        if asked:
            choices.append((hit,) if any(under.always for under in asked) else ((), hit))
    for feet in product(*choices):
        yield tuple(hit for foot in feet for hit in foot)
