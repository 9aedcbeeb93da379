"""A fill once a student has it."""

from copy import copy
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cached_property
from typing import Any, Self

from django.db import models, transaction
from django.db.models import (
    Aggregate,
    Count,
    F,
    Max,
    OuterRef,
    Q,
    Subquery,
    Sum,
)
from django.db.models.functions import Coalesce

from assignments.mastery import CONFIRMED, mastery_status
from assignments.models.assignment import Assignment
from assignments.models.rank_field import RankField
from rhythms.engine import Fill
from rhythms.engine.fills.hands import StickingStyle
from rhythms.models import Rendering
from rhythms.notation.fill_name import LONGEST, route_name
from rhythms.notation.practice_text import HANDS_PROPOSED, groove_before, tempo_unit
from studio.models import Student
from studio.removal import Removable, RemovableQuerySet

#: How a reason begins that says how the student has the strokes already, told to the teacher.
KNOWN_STROKES = "They know these strokes "


class State(StrEnum):
    """How a variation stands with its student.

    Mastered is what the student calls mastered; it holds after a clean re-check on a later day
    or when the teacher confirms it, and is returned after one that was not clean.
    """

    NEW = "new"
    PRACTISING = "practising"
    RETURNED = "returned"
    MASTERED = "mastered"
    HOLDS = "holds"

    @property
    def label(self) -> str:
        """The state in words."""
        return "came back" if self is State.RETURNED else str(self)


_PLAYING_ORDER = (
    F("assignment__due_on").asc(nulls_last=True),
    "assignment__created_at",
    "assignment",
    "position",
)
_STANDING = ["mastered_at", "held_at", "returned_at"]


class VariationQuerySet(RemovableQuerySet):
    def kept(self) -> Self:
        """Return those that their student still has."""
        return self.filter(removed_at=None, assignment__removed_at=None)

    def of(self, student: Student) -> Self:
        """Return those of one student, with what they are shown with."""
        theirs = self.filter(assignment__student=student)
        return theirs.select_related("assignment", "rendering")

    def holding(self) -> Self:
        """Return those that are mastered and hold, the latest first."""
        held = self.filter(mastered_at__isnull=False, held_at__isnull=False)
        return held.order_by("-mastered_at", "-pk")

    def with_practice(self) -> Self:
        """Give each `times_logged`, `minutes_logged` and `last_practised` (a date, or None)."""
        return self.annotate(
            times_logged=Coalesce(self._logged(Count("day")), 0),
            minutes_logged=self._logged(Sum("minutes")),
            last_practised=self._logged(Max("day")),
        )

    def _logged(self, total: Aggregate) -> Subquery:
        """Return a total of the entries of each; it is read from their index alone.

        A join would have everything else of a fill looked up once for each of its entries.
        """
        entries: Any = self.model._meta.get_field("entries").related_model
        kept = entries.objects.filter(removed_at=None, variation=OuterRef("pk")).order_by()
        return Subquery(kept.values("variation").annotate(total=total).values("total"))

    def for_lists(self) -> Self:
        """Leave out what a list does not show, and takes time to read: notes, rules, the kit."""
        return self.defer(
            "fill", "assignment__kit", "assignment__sentences", "assignment__away_from"
        )

    def in_playing_order(self) -> Self:
        """Order as a student meets them: what is due first, then as they were given."""
        return self.order_by(*_PLAYING_ORDER)

    def open_first(self) -> Self:
        """Order those that are not mastered as a student meets them, then the latest mastered."""
        return self.order_by(F("mastered_at").desc(nulls_first=True), *_PLAYING_ORDER)


class AssignedVariation(Removable):
    """One fill of an assignment, with its number among all the fills it was drawn from.

    Teacher and student call it by its position and its name, "2, Hi-hat to floor tom": both stay,
    whatever becomes of others. No other fill of the student and the bar has its name
    (`assignments.fill_names`).
    """

    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="variations")
    position = models.PositiveSmallIntegerField()
    rank = RankField()
    space_size = RankField()
    fill = models.JSONField()
    #: Proposed when it was drawn; the teacher may have another one.
    name = models.CharField(max_length=LONGEST, blank=True, default="", db_default="")
    rendering = models.ForeignKey(Rendering, on_delete=models.PROTECT, related_name="variations")
    #: The highest tempo at which every move fits, in beats a minute.
    top_tempo = models.PositiveSmallIntegerField(null=True, blank=True)
    effort = models.CharField(max_length=100, blank=True)
    #: Why it was chosen, in a sentence.
    reason = models.CharField(max_length=200, blank=True)
    #: How it stands, as its mastery events add up to (`assignments.mastery`): since when the
    #: student calls it mastered, since when that holds, and when it came back to be practised.
    mastered_at = models.DateTimeField(null=True, blank=True, editable=False)
    held_at = models.DateTimeField(null=True, blank=True, editable=False)
    returned_at = models.DateTimeField(null=True, blank=True, editable=False)

    #: The rendering of its small picture: see `assignments.fill_pictures`.
    small: Rendering | None = None
    times_logged: int
    minutes_logged: Decimal | None
    last_practised: date | None
    objects = VariationQuerySet.as_manager()  # type: ignore[misc]

    STUDIO_PATH = "assignment__studio"

    class Meta:
        verbose_name = "fill"
        ordering = ["assignment", "position"]
        indexes = [
            models.Index(
                fields=["assignment", "mastered_at", "held_at"],
                condition=Q(removed_at=None),
                name="kept_fills_of_an_assignment",
            )
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["assignment", "position"], name="one_variation_a_position"
            )
        ]

    def __str__(self) -> str:
        return f"{self.position}, {self.called}"

    @property
    def called(self) -> str:
        """Its name, without its number; what an older version drew has none until it is named."""
        return self.name or route_name(self.as_fill)

    @cached_property
    def as_fill(self) -> Fill:
        """The engine's fill."""
        return Fill.from_json(self.fill)

    @property
    def stage_key(self) -> int | str:
        """By which the stage knows it; its simpler form has another one."""
        key: int | str = self.__dict__.get("_stage_key", self.pk)
        return key

    @property
    def is_simpler(self) -> bool:
        """Whether this is not the fill as it was given, but a simpler form of it."""
        return self.stage_key != self.pk

    def in_simpler_form(self, fill: Fill, rendering: Rendering) -> Self:
        """Return this fill as it is played in a simpler form; never to be saved."""
        simpler = copy(self)
        simpler.__dict__ |= {"as_fill": fill, "_stage_key": f"{self.pk}-easier"}
        simpler.rendering, simpler.small = rendering, None
        return simpler

    @property
    def hands_proposed(self) -> str:
        """What to say of hands that are our proposal; "" where the rules fix all of them."""
        is_open = any(stroke.limb is None for stroke in self.as_fill.strokes)
        return HANDS_PROPOSED[StickingStyle(self.assignment.sticking)] if is_open else ""

    @property
    def known_otherwise(self) -> str:
        """How the student had its strokes already, and what is other now, told to them; "" for new
        strokes. `You know these strokes with free feet; now over samba.`
        """
        if not self.reason.startswith(KNOWN_STROKES):
            return ""
        how, _, _ = self.reason.removeprefix(KNOWN_STROKES).partition(". Playable to ")
        return f"You know these strokes {how}."

    @property
    def groove_before(self) -> str:
        """What comes before it in its block, in words."""
        assignment = self.assignment
        return groove_before(self.as_fill.bar, assignment.block_bars, sets_up=assignment.sets_up)

    @property
    def tempo_unit(self) -> str:
        """What its tempo counts."""
        return tempo_unit(self.as_fill.bar.meter)

    @property
    def feel_in_words(self) -> str:
        """How its notes swing, "" where they are straight."""
        heard = self.assignment.feel.in_meter(self.as_fill.bar.meter)
        return "" if heard.is_straight else heard.in_full

    @property
    def number(self) -> int:
        """Its number among the fills of its space, counted from 1 as people count."""
        rank: int = self.rank
        return rank + 1

    @property
    def steps(self) -> list:
        """What happened on its way to being mastered, and back, in order."""
        return [event for event in self.mastery_events.all() if event.removed_at is None]

    @property
    def is_confirmed(self) -> bool:
        """Whether the last thing that happened is that the teacher confirmed it."""
        return bool(self.steps) and self.steps[-1].kind == CONFIRMED

    @property
    def state(self) -> State:
        """How it stands; needs `with_practice`."""
        if self.mastered_at:
            return State.HOLDS if self.held_at else State.MASTERED
        if self.returned_at:
            return State.RETURNED
        return State.PRACTISING if self.times_logged else State.NEW

    def wait_for_others(self) -> None:
        """Within a transaction: let others end theirs, then stand as they left it."""
        standing = type(self).objects.select_for_update().values(*_STANDING).get(pk=self.pk)
        for name, at in standing.items():
            setattr(self, name, at)

    @transaction.atomic
    def record_step(self, kind: str, day: date, **details: Any) -> None:
        """Keep a step on its way to being mastered, or back, and stand as they now add up to."""
        self.wait_for_others()
        self.mastery_events.create(kind=kind, day=day, **details)
        self.settle()

    def settle(self) -> None:
        """Stand as the kept mastery events say."""
        standing = mastery_status(self.mastery_events.kept())
        self.mastered_at = standing.mastered_at
        self.held_at = standing.held_at
        self.returned_at = standing.returned_at
        self.save(update_fields=_STANDING)
