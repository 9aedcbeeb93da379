"""The rule sets of a studio."""

from django.db import models

from rhythms.engine import EngineError
from rhythms.engine import RuleSet as Rules
from rhythms.error_adapters import as_validation_error
from rhythms.models.named import Named, one_name_each
from studio.models import Studio


def check_rules(rules: object) -> None:
    """Raise ValidationError unless `rules` is a list of rules in the engine's JSON forms."""
    try:
        Rules.from_json(rules)
    except EngineError as error:
        raise as_validation_error(error) from error


class RuleSet(Named):
    """Rules in the order of their sentences, in the engine's JSON forms."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="rule_sets")
    note = models.CharField(max_length=200, blank=True)
    rules = models.JSONField(default=list, blank=True, validators=[check_rules])

    class Meta:
        verbose_name = "rule set"
        ordering = ["pk"]
        constraints = [one_name_each("one_name_each_rule_set")]

    @property
    def rule_set(self) -> Rules:
        """The rules as the engine knows them."""
        return Rules.from_json(self.rules)

    def sentences(self) -> tuple[str, ...]:
        """The rules as a teacher would say them."""
        return self.rule_set.sentences()

    def removal_refusal(self) -> str:
        ladders = self.steps.in_use().values_list("ladder__name", flat=True).distinct()
        if not ladders:
            return ""
        named = " and ".join(f"“{name}”" for name in ladders)
        kind = "ladder" if len(ladders) == 1 else "ladders"
        return f"It is a step of the {kind} {named}. Take the step out there first."
