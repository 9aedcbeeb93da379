"""What a teacher has given a student to practise."""

from functools import cached_property
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Count, Q

from rhythms.engine import Bar
from rhythms.engine.bars.feel import EIGHTHS, LEAST, MOST, SIXTEENTHS, Feel
from rhythms.engine.kits.drum_kit import Kit as EngineKit
from rhythms.engine.playback.stand_ins import landing_in_words
from rhythms.engine.rudiments.overlays import OVERLAYS
from rhythms.models import RuleSet, SourceBar, Stickings
from studio.models import Student, Studio, Teacher
from studio.removal import Removable, RemovableQuerySet

SLOWEST, FASTEST = 30, 240
TEMPO_RANGE = [MinValueValidator(SLOWEST), MaxValueValidator(FASTEST)]

_KEPT = Q(variations__removed_at=None)


def last_beats(bar: SourceBar, beats: int | None) -> Bar:
    """Return the bar with rests up to its last beats, or as it is without a number of them."""
    return bar.bar.last_beats(beats) if beats else bar.bar


class AssignmentQuerySet(RemovableQuerySet):
    def with_tally(self) -> Self:
        """Give each `fills_kept` and `fills_mastered`."""
        return self.annotate(
            fills_kept=Count("variations", filter=_KEPT),
            fills_mastered=Count("variations__mastered_at", filter=_KEPT),
        )


class Assignment(Removable):
    """Fills of one bar, or of its last beats, under one rule set, for one student.

    It keeps what it was made of (the bar's name, the rules as sentences, the kit), so that
    the student's page stays as it was given when the library changes.
    """

    class Block(models.IntegerChoices):
        """How many bars the groove and the fill last together."""

        FOUR = 4, "4 bars"
        EIGHT = 8, "8 bars"
        TWELVE = 12, "12 bars"
        SIXTEEN = 16, "16 bars"

    class Dial(models.TextChoices):
        """How far from what drummers play first its fills were drawn; names of DIALS."""

        CLOSE_TO_HOME = "close to home", "Close to home"
        A_STEP_OUT = "a step out", "A step out"
        ANYTHING = "anything the rules allow", "Anything the rules allow"

    class SwingUnit(models.TextChoices):
        """Which notes swing; names of `rhythms.engine.bars.feel.PAIRS`."""

        OF_EIGHTHS = EIGHTHS, "eighths"
        OF_16THS = SIXTEENTHS, "16ths"

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="assignments")
    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="assignments")
    source_bar = models.ForeignKey(SourceBar, on_delete=models.PROTECT, related_name="assignments")
    rule_set = models.ForeignKey(RuleSet, on_delete=models.PROTECT, related_name="assignments")
    bar_name = models.CharField(max_length=200)
    rule_set_name = models.CharField(max_length=200)
    sentences = models.JSONField(default=list)
    kit = models.JSONField()
    tempo = models.PositiveSmallIntegerField("tempo in beats a minute", validators=TEMPO_RANGE)
    #: How groove and fill are played: see `rhythms.engine.bars.feel`.
    swing = models.PositiveSmallIntegerField("swing in percent", default=LEAST, db_default=LEAST)
    swing_unit = models.CharField(
        max_length=10, choices=SwingUnit.choices, default=EIGHTHS, db_default=EIGHTHS
    )
    #: From the end of the bar; blank where the fill takes all of it.
    beats = models.PositiveSmallIntegerField("beats of the fill", null=True, blank=True)
    block_bars = models.PositiveSmallIntegerField(
        "block", choices=Block.choices, default=Block.FOUR
    )
    dial = models.CharField(
        "how far out", max_length=30, choices=Dial.choices, default=Dial.A_STEP_OUT
    )
    sticking = models.CharField(
        max_length=20, choices=Stickings.choices, default=Stickings.AS_TAUGHT
    )
    #: One of the library's, or the name of a bar of the teacher's, whose count line stands
    #: beside it; blank for the first of the meter.
    groove = models.CharField(max_length=200, blank=True)
    groove_counts = models.CharField(max_length=400, blank=True)
    #: A groove of the studio's own, as it was when it was assigned.
    groove_kept = models.JSONField(null=True, blank=True)
    #: Whether the last bar of groove leads into the fill.
    sets_up = models.BooleanField("leads into the fill", default=False, db_default=False)
    due_on = models.DateField("due", null=True, blank=True)
    fills_given = models.PositiveSmallIntegerField()
    note = models.CharField("note to the student", max_length=200, blank=True)
    #: Where it was to lead out of a comfort zone: the typical fills of that, as JSON.
    away_from = models.JSONField(default=list, blank=True)
    created_by = models.ForeignKey(Teacher, on_delete=models.PROTECT, related_name="assignments")
    created_at = models.DateTimeField(auto_now_add=True)

    fills_kept: int  # given by `with_tally`, like the next
    fills_mastered: int

    objects = AssignmentQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["-created_at", "-pk"]
        indexes = [
            models.Index(
                fields=["student", "id"], condition=Q(removed_at=None), name="kept_of_a_student"
            )
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(tempo__gte=SLOWEST, tempo__lte=FASTEST),
                name="assignment_tempo_playable",
            ),
            models.CheckConstraint(
                condition=Q(block_bars__in=(4, 8, 12, 16)), name="assignment_block_known"
            ),
            models.CheckConstraint(
                condition=Q(swing__gte=LEAST, swing__lte=MOST), name="assignment_swing_playable"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.bar_name}, {self.rule_set_name}"

    @property
    def names_a_rudiment(self) -> bool:
        """Whether one of its rules lays a rudiment over the notes."""
        return any(name in sentence for sentence in self.sentences for name in OVERLAYS)

    @property
    def bar(self) -> Bar:
        """The bar that its fills are played in, with rests before a fill of fewer beats."""
        return last_beats(self.source_bar, self.beats)

    @cached_property
    def drawn_for(self) -> EngineKit:
        """The student's kit, which its fills were drawn for."""
        return EngineKit.from_json(self.kit)

    @property
    def lands_on(self) -> str:
        """What is struck on *one* after a fill, in words: ``the crash``, ``an accent``."""
        return landing_in_words(self.drawn_for.surfaces)

    @property
    def feel(self) -> Feel:
        """How its notes go in pairs, in groove and fill."""
        return Feel(self.swing, self.swing_unit)
