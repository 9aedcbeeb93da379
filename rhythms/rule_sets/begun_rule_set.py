"""A rule set that a link begins: a preset, or a rudiment laid over some notes."""

from django.http import Http404, QueryDict

from rhythms.engine import EngineError
from rhythms.engine import RuleSet as Rules
from rhythms.engine.bars.values import plural
from rhythms.models import RuleSet
from rhythms.rule_sets.presets import BY_SLUG


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
