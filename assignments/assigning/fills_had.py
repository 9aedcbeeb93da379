"""The fills that a student has: strokes, over feet that keep going or none, in a feel.

The same strokes over other feet, or swung, are another exercise: a fill of its own, to be given and
mastered by itself. To the comfort zone they are the same strokes.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from assignments import text
from assignments.models import AssignedVariation
from assignments.models.variation import KNOWN_STROKES
from rhythms.engine import Fill, FillSpace
from rhythms.engine.bars.feel import Feel
from rhythms.engine.fills.ostinato import FootHit, Ostinato
from studio.models import Student

#: What feet are called is told up to so many letters.
_LONGEST_NAME = 24


class FillHad(NamedTuple):
    """A fill that a student has; its feel is that of its assignment."""

    fill: Fill
    feel: Feel
    is_mastered: bool = False

    @property
    def played(self) -> "Played":
        """What it is played over, and how."""
        return Played(self.fill.ostinato, self.feel.in_meter(self.fill.bar.meter))


class Played(NamedTuple):
    """Over what strokes are played, and in which feel, as it is heard in their meter."""

    ostinato: Ostinato | None
    feel: Feel

    @classmethod
    def in_space(cls, space: FillSpace, feel: Feel) -> "Played":
        """How the fills of a space are played."""
        return cls(space.ostinato, feel.in_meter(space.setting.bar.meter))

    def is_like(self, other: "Played") -> bool:
        """Whether it comes to the same: feet are what they strike, whatever it is called."""
        return self.has_feet_of(other) and self.feel == other.feel

    def has_feet_of(self, other: "Played") -> bool:
        """Whether the feet strike the same."""
        return _struck(self.ostinato) == _struck(other.ostinato)


def _struck(ostinato: Ostinato | None) -> tuple[FootHit, ...]:
    return ostinato.hits if ostinato else ()


@dataclass(frozen=True)
class RanksHad:
    """Numbers in a space: `theirs` are fills that the student has just so; `otherwise` are those
    whose strokes they have with other feet or another feel, the mastered ones first, then the
    newest, each with how they have it.
    """

    theirs: frozenset[int]
    otherwise: Mapping[int, FillHad]

    @property
    def strokes(self) -> frozenset[int]:
        """All whose strokes they have."""
        return self.theirs.union(self.otherwise)


def fills_had(students: Collection[Student]) -> dict[Student, tuple[FillHad, ...]]:
    """Return the fills each student has, the newest first. One query for all students."""
    had: dict[int, list[FillHad]] = {student.pk: [] for student in students}
    kept = AssignedVariation.objects.kept().filter(assignment__student__in=had)
    newest_first = kept.order_by("-assignment__created_at", "assignment", "position")
    names = ("assignment__student", "fill", "assignment__swing", "assignment__swing_unit")
    for pk, stored, swing, unit, mastered in newest_first.values_list(*names, "mastered_at"):
        had[pk].append(FillHad(Fill.from_json(stored), Feel(swing, unit), mastered is not None))
    return {student: tuple(had[student.pk]) for student in students}


def ranks_in(space: FillSpace, had: Sequence[FillHad], feel: Feel) -> RanksHad:
    """Return the numbers of those fills whose strokes are in the space, which is played in `feel`.

    A fill counts as had however it was assigned: by another rule set, or from a copy of the bar.
    """
    here, theirs = Played.in_space(space, feel), set[int]()
    otherwise: dict[int, FillHad] = {}
    for one in sorted(had, key=lambda one: not one.is_mastered):
        rank = space.rank_or_none(one.fill)
        if rank is None:
            continue
        if one.played.is_like(here):
            theirs.add(rank)
        else:
            otherwise.setdefault(rank, one)
    others = {rank: one for rank, one in otherwise.items() if rank not in theirs}
    return RanksHad(frozenset(theirs), others)


def ranks_had(spaces: Mapping[Student, FillSpace], feel: Feel) -> dict[Student, RanksHad]:
    """Return, for each student, the numbers in their space. One query for all students."""
    fills = fills_had(spaces)
    return {student: ranks_in(space, fills[student], feel) for student, space in spaces.items()}


def known_otherwise(had: FillHad, space: FillSpace, feel: Feel) -> str:
    """Return how the student has the strokes, and what is other now.

    `They know these strokes with free feet; now over samba.`; `They know these strokes straight;
    now in triplet swing.`
    """
    before, now = had.played, Played.in_space(space, feel)
    changes = []
    if not before.has_feet_of(now):
        changes.append((_over(before, "other feet"), _over(now, "these feet")))
    if before.feel != now.feel:
        changes.append((_in(before.feel), _in(now.feel)))
    were, are = (text.listed(list(parts)) for parts in zip(*changes, strict=True))
    return f"{KNOWN_STROKES}{were}; now {are}."


def _over(played: Played, long: str) -> str:
    if not (feet := played.ostinato):
        return "with free feet"
    return f"over {feet.name if len(feet.name) <= _LONGEST_NAME else long}"


def _in(feel: Feel) -> str:
    return feel.words if feel.is_straight else f"in {feel.words}"
