"""Ladders: rule sets in teaching order."""

from typing import Self

from django.db import models, transaction
from django.db.models import Max

from rhythms.models.named import Named, one_name_each
from rhythms.models.rule_set import RuleSet
from studio.models import Studio
from studio.removal import Removable, RemovableQuerySet


class Ladder(Named):
    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="ladders")
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [one_name_each("one_name_each_ladder")]

    @transaction.atomic
    def add_step(self, rule_set: RuleSet, note: str = "") -> "LadderStep":
        """Put a rule set at the end and return its step."""
        last = self.steps.aggregate(last=Max("position"))["last"] or 0
        return self.steps.create(rule_set=rule_set, note=note, position=last + 1)

    @transaction.atomic
    def restore(self) -> None:
        """Bring the ladder back, with the rule sets that its steps need."""
        super().restore()
        for step in self.steps.kept().select_related("rule_set"):
            step.bring_back_rule_set()


class LadderStepQuerySet(RemovableQuerySet):
    def in_use(self) -> Self:
        """Return kept steps of kept ladders."""
        return self.kept().filter(ladder__removed_at=None)


class LadderStep(Removable):
    ladder = models.ForeignKey(Ladder, on_delete=models.CASCADE, related_name="steps")
    position = models.PositiveIntegerField()
    rule_set = models.ForeignKey(RuleSet, on_delete=models.PROTECT, related_name="steps")
    note = models.CharField(max_length=200, blank=True)

    objects = LadderStepQuerySet.as_manager()  # type: ignore[misc]

    STUDIO_PATH = "ladder__studio"

    class Meta:
        verbose_name = "step"
        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.rule_set.name

    @transaction.atomic
    def move(self, by: int) -> bool:
        """Change places with the kept step before (-1) or after (+1); False where there is none."""
        steps = list(self.ladder.steps.kept().select_for_update())
        here = steps.index(self)
        there = here + by
        if not 0 <= there < len(steps):
            return False
        steps[here], steps[there] = steps[there], steps[here]
        for position, step in enumerate(steps, start=1):
            step.position = position
        LadderStep.objects.bulk_update(steps, ["position"])
        return True

    @transaction.atomic
    def restore(self) -> None:
        """Bring the step back, with its rule set."""
        super().restore()
        self.bring_back_rule_set()

    def bring_back_rule_set(self) -> None:
        """A step without its rule set would be an empty rung."""
        if self.rule_set.removed_at is not None:
            self.rule_set.restore()
