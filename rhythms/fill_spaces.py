"""Kits and fill spaces of what a studio keeps."""

from collections.abc import Iterable

from rhythms import engine
from rhythms.engine import Bar, FillSpace
from rhythms.models import RuleSet, SourceBar
from studio.models import Kit, Student


def engine_kit(owner: Kit | Student, left_handed: bool | None = None) -> engine.Kit:
    """The kit of a student, mirrored where they are left-handed, or a kit played either way.

    `left_handed` decides over the student's own hands; a kit by itself is right-handed.
    """
    if isinstance(owner, Student):
        hands = owner.handedness == Student.Handedness.LEFT if left_handed is None else left_handed
        return engine_kit(owner.kit, hands)
    return engine.Kit.of(owner.surfaces, left_handed=bool(left_handed))


def space_for(
    bar: SourceBar | Bar,
    rule_set: RuleSet | engine.RuleSet,
    kit: engine.Kit | Kit | Student,
    left_handed: bool | None = None,
) -> FillSpace:
    """The fills of a bar under a rule set on a kit.

    A left-handed player reads a rule set mirrored: where it says right, their left hand plays.
    `left_handed`, where given, decides over what the kit or the student says.
    """
    bar = bar.bar if isinstance(bar, SourceBar) else bar
    rules = rule_set.rule_set if isinstance(rule_set, RuleSet) else rule_set
    kit = _played(kit, left_handed)
    return FillSpace(bar, rules.mirrored() if kit.left_handed else rules, kit)


def spaces_for(
    bar: SourceBar | Bar, rule_set: RuleSet, students: Iterable[Student]
) -> dict[Student, FillSpace]:
    """The fills of a bar under a rule set for each student; those of one kit have one space."""
    by_kit: dict[engine.Kit, FillSpace] = {}
    found = {}
    for student in students:
        kit = engine_kit(student)
        if kit not in by_kit:
            by_kit[kit] = space_for(bar, rule_set, kit)
        found[student] = by_kit[kit]
    return found


def _played(kit: engine.Kit | Kit | Student, left_handed: bool | None) -> engine.Kit:
    if not isinstance(kit, engine.Kit):
        return engine_kit(kit, left_handed)
    return kit if left_handed is None else engine.Kit(kit.surfaces, left_handed)
