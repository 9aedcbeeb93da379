"""An ordered list of rules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rhythms.engine.errors import RuleError
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.rules import REGISTRY, Rule

MOST_RULES = 60


@dataclass(frozen=True)
class RuleSet:
    """Rules in the order of their sentences; the order never changes which fills are allowed."""

    rules: tuple[Rule, ...] = ()

    @classmethod
    def from_json(cls, data: Any) -> RuleSet:
        """A rule set from its list of JSON forms. Raises RuleError, placed by rule and field."""
        if not isinstance(data, list):
            raise RuleError("A rule set is a list of rules.")
        if len(data) > MOST_RULES:
            raise RuleError(
                f"A rule set takes at most {MOST_RULES} rules; this one has {len(data)}."
            )
        return cls(tuple(_read_rule(item, place) for place, item in enumerate(data)))

    def to_json(self) -> list[dict[str, Any]]:
        """The inverse of ``from_json``."""
        return [rule.to_json() for rule in self.rules]

    def sentences(self) -> tuple[str, ...]:
        """The rules as a teacher would say them."""
        return tuple(rule.sentence() for rule in self.rules)

    def sentences_on(self, kit: Kit) -> tuple[str, ...]:
        """The rules as a teacher would say them to whoever has this kit."""
        return tuple(said for rule in self.rules if (said := rule.sentence_on(kit)))

    @property
    def speaks_of_hands(self) -> bool:
        """Whether hands belong to the identity of the fills."""
        return any(rule.speaks_of_hands for rule in self.rules)

    def idle(self) -> tuple[RuleError, ...]:
        """Each rule that others leave nothing to say, placed."""
        found = ((place, rule.idle_beside(self.rules)) for place, rule in enumerate(self.rules))
        return tuple(
            RuleError(why, field=self.rules[place].fields[0].name, rule=place)
            for place, why in found
            if why
        )

    def mirrored(self) -> RuleSet:
        """The rule set as a left-handed player reads it."""
        return RuleSet(tuple(rule.mirrored() for rule in self.rules))


def _read_rule(item: Any, place: int) -> Rule:
    name = item.get("rule") if isinstance(item, dict) else None
    try:
        if not isinstance(name, str) or name not in REGISTRY:
            raise RuleError(
                f"“{name}” is not a rule; there are {', '.join(sorted(REGISTRY))}.", field="rule"
            )
        return REGISTRY[name].from_json(item)
    except RuleError as error:
        raise error.at(place) from error
