"""Kits as the engine knows them."""

from rhythms import engine
from studio.models import Kit, Student


def engine_kit(owner: Kit | Student, left_handed: bool | None = None) -> engine.Kit:
    """The kit of a student, mirrored where they are left-handed, or a kit played either way.

    `left_handed` decides over the student's own hands; a kit by itself is right-handed.
    """
    if isinstance(owner, Student):
        hands = owner.handedness == Student.Handedness.LEFT if left_handed is None else left_handed
        return engine_kit(owner.kit, hands)
    return engine.Kit.of(owner.surfaces, left_handed=bool(left_handed))
