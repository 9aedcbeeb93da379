"""What a student has and does not use: surfaces of their kit, and stickings."""

from __future__ import annotations

from collections.abc import Iterable

from rhythms.engine.comfort.expectation import Given
from rhythms.engine.comfort.playing import Playing
from rhythms.engine.fills.fill import HANDS, Fill
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FEET, Surface, base
from rhythms.engine.rudiments.overlays import HANDS_OF

#: Fewer strokes in a row are no sticking.
_FEWEST_STROKES = 4
_SWAP = str.maketrans("RL", "LR")


def surfaces_unused(playing: Playing, given: Given, kit: Kit) -> tuple[Surface, ...]:
    """The surfaces of the kit that were never struck; feet count where they were asked for."""
    strokes = (stroke for kind in playing.kinds for stroke in kind.strokes)
    struck = {base(one) for stroke in strokes for one in stroke.surfaces}
    asked = {
        base(one)
        for space in given.spaces
        for layer in space.graph.layers
        for stroke in layer.strokes
        for one in stroke.surfaces
    }
    return tuple(
        surface
        for surface in kit.surfaces
        if surface not in struck and (surface not in FEET or surface in asked)
    )


def stickings_used(fills: Iterable[Fill]) -> tuple[str, ...] | None:
    """The stickings that were played, of those the tool knows; None where no hands are known."""
    known = [fill for fill in fills if any(stroke.limb in HANDS for stroke in fill.strokes)]
    if not known:
        return None
    runs = {run for fill in known for run in _runs(fill)}
    return tuple(name for name in HANDS_OF if any(_is_in(name, run) for run in runs))


def stickings_unused(used: Iterable[str]) -> tuple[str, ...]:
    """The others."""
    played = set(used)
    return tuple(name for name in HANDS_OF if name not in played)


def _runs(fill: Fill) -> Iterable[str]:
    """The hands of all strokes in order, and those of each value class, over which rules lay."""
    hands = [
        (note.value, stroke.limb)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
        if stroke.limb in HANDS
    ]
    yield "".join(str(limb) for _, limb in hands)
    for wanted in sorted({value for value, _ in hands}):
        yield "".join(str(limb) for value, limb in hands if value == wanted)


def _is_in(rudiment: str, run: str) -> bool:
    shortest = _shortest(HANDS_OF[rudiment])
    return shortest in run or shortest.translate(_SWAP) in run


def _shortest(letters: str) -> str:
    """A cycle as far as it has to be heard: to the middle, where it goes on as its mirror.

    The stroke after the middle is needed: without it, RLRL-LRLR could be singles.
    """
    half = len(letters) // 2
    mirrored = letters[half:] == letters[:half].translate(_SWAP)
    if mirrored and half >= _FEWEST_STROKES:
        return letters[: half + 1]
    while len(letters) < _FEWEST_STROKES:
        letters += letters
    return letters
