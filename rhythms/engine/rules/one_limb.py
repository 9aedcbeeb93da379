"""Notes that other rules of a set leave to one limb: nothing can be struck together there."""

from __future__ import annotations

from collections.abc import Iterable

from rhythms.engine.rules.base import Rule
from rhythms.engine.rules.feet import NOTES, Feet
from rhythms.engine.rules.linear import Linear
from rhythms.engine.rules.scope import EVERY_NOTE, Scope


def left_to_one_limb(scope: Scope, rules: Iterable[Rule]) -> str:
    """Which rule leaves all notes of ``scope`` to one limb, in words; "" where none does.

    Told from their scopes alone, whatever the bar.
    """
    for rule in rules:
        if _has_one_limb(rule) in (scope, EVERY_NOTE):
            said = rule.sentence().rstrip(".")
            return (
                f"“{said}” leaves these notes to one limb: choose other notes here, "
                "or take one of the two rules out."
            )
    return ""


def _has_one_limb(rule: Rule) -> Scope | None:
    if isinstance(rule, Linear) or (isinstance(rule, Feet) and rule.on == NOTES):
        return rule.scope
    return None
