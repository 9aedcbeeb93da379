"""A rule set that a link begins: a preset, a rudiment over some notes, or one over other feet."""

from django.http import Http404, QueryDict

from rhythms.engine import EngineError
from rhythms.engine import RuleSet as Rules
from rhythms.engine.bars.values import plural
from rhythms.engine.playback.ostinato_library import NAMES
from rhythms.engine.rules.feet_keep_going import FeetKeepGoing
from rhythms.models import RuleSet
from rhythms.models.named import LONGEST_NAME, free_name
from rhythms.rule_sets.presets import BY_SLUG

#: The feet to begin with; where the rules have them already, the first others.
_FEET = ("samba", *NAMES)


def over_other_feet(kept: RuleSet) -> RuleSet:
    """Return the same rules, unsaved, over feet that keep going, and other ones than they have."""
    feet = [rule for rule in kept.rules if rule["rule"] == FeetKeepGoing.name]
    patterns = [rule.get("pattern") for rule in feet]
    others = next((name for name in _FEET if name not in patterns), _FEET[0])
    rules = [rule for rule in kept.rules if rule not in feet]
    over = f", over {others}"
    name = kept.name[: LONGEST_NAME - len(over)] + over
    theirs = RuleSet.objects.kept().filter(studio=kept.studio_id).values_list("name", flat=True)
    taken = {each.casefold() for each in theirs}
    return RuleSet(
        name=free_name(name, taken) if name.casefold() in taken else name,
        rules=[*rules, {"rule": FeetKeepGoing.name, "pattern": others}],
    )


def begun_with(asked: QueryDict) -> RuleSet:
    """Return it, unsaved: the `preset` that is asked for, or a `rudiment` `on` a value class or all
    notes.

    Empty where nothing is asked for. Raises Http404 for what there is not.
    """
    if slug := asked.get("preset"):
        if slug not in BY_SLUG:
            raise Http404
        return RuleSet(name=BY_SLUG[slug].name, note=BY_SLUG[slug].note, rules=BY_SLUG[slug].rules)
    rudiment, on = asked.get("rudiment"), asked.get("on")
    if not rudiment:
        return RuleSet()
    rule = {"rule": "sticking", "rudiment": rudiment, "accents": "rudiment"}
    try:
        rules = Rules.from_json([rule | ({"values": [on]} if on else {})]).to_json()
    except EngineError as error:
        raise Http404 from error
    where = f" on the {plural(on)}" if on else ""
    return RuleSet(name=f"{rudiment[0].upper()}{rudiment[1:]}{where}", rules=rules)
