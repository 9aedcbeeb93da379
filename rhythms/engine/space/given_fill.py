"""A fill that is given as it is: rules that lay its strokes on its bar, and leave no other fill.

They are rules as a teacher writes them, each for the counts that it speaks of, so that they can be
read, changed and put on a ladder like any others.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rhythms.engine.bars.spoken_counts import count_names
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.surfaces import OPEN_HATS, Surface
from rhythms.engine.rules.both_hands import BothHands
from rhythms.engine.rules.dynamics import Dynamics
from rhythms.engine.rules.feet import NOTES, Feet
from rhythms.engine.rules.foot_under import FootUnder
from rhythms.engine.rules.ornament import Ornament
from rhythms.engine.rules.placement import Placement
from rhythms.engine.rules.rule_list import MOST_RULES, RuleSet
from rhythms.engine.rules.scope import Scope
from rhythms.engine.rules.surface_choice import SurfaceChoice

_Laid = Placement | BothHands | Feet | FootUnder | Dynamics | Ornament
#: Softest first.
_BY_LOUDNESS = ("ghost", "normal", "accent")


def rules_of(fill: Fill) -> RuleSet | None:
    """Rules that leave the fill alone, its hands open, on any kit that has its surfaces.

    Both hands at once are as loud as the louder one, and no stroke is softer than an accent that
    its bar has written; a foot under hands has no loudness of its own. None where two notes are
    counted alike, both feet strike without a hand, one closes what is struck open, or one is under
    stick on stick: no rule asks for these.
    """
    names = count_names(tuple(note.onset for note in fill.bar.sounded), fill.bar.meter)
    if "" in names or len(set(names)) < len(names) or any(map(_is_beyond_rules, fill.strokes)):
        return None
    counts: dict[_Laid, tuple[str, ...]] = {}
    for name, note, stroke in zip(names, fill.bar.sounded, fill.strokes, strict=True):
        for rule in _laying(stroke, accented=note.accent):
            counts[rule] = (*counts.get(rule, ()), name)
    if len(counts) > MOST_RULES:
        return None
    return RuleSet(tuple(replace(rule, scope=Scope(counts=on)) for rule, on in counts.items()))


def _is_beyond_rules(stroke: Stroke) -> bool:
    if not stroke.beside:
        return False
    struck = set(stroke.surfaces)
    closed = Surface.HI_HAT_FOOT in struck and not OPEN_HATS.isdisjoint(struck)
    return closed or stroke.by_foot or stroke.surface is Surface.STICKS


def _laying(stroke: Stroke, *, accented: bool) -> Iterator[_Laid]:
    """What lays one stroke on any note; ``accented``: its bar has it so."""
    if stroke.by_foot:
        yield Feet(str(stroke.surface), NOTES)
    else:
        yield _by_hands(*stroke.hand_surfaces)
        for hit in stroke.foot_hits:
            yield FootUnder(str(hit.surface), _on(stroke.surface))
    loudest = max((hit.dynamic for hit in stroke.hand_hits or stroke.hits), key=_BY_LOUDNESS.index)
    if loudest != "normal" and not accented:
        yield Dynamics(loudest)
    if stroke.ornament:
        yield Ornament(stroke.ornament)


def _by_hands(one: Surface, *other: Surface) -> Placement | BothHands:
    return BothHands(_on(one), _on(*other)) if other else Placement(_on(one))


def _on(*surfaces: Surface) -> SurfaceChoice:
    return SurfaceChoice(tuple(map(str, surfaces)))
