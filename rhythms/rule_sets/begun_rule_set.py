"""A rule set that a link begins: a rudiment, laid over some notes."""

from django.http import Http404, QueryDict

from rhythms.engine import EngineError
from rhythms.engine import RuleSet as Rules
from rhythms.engine.bars.values import plural
from rhythms.models import RuleSet


def begun_with(asked: QueryDict) -> RuleSet:
    """Return it, unsaved: with the `rudiment` that is asked for `on` a value class or all notes.

    Empty where none is asked for. Raises Http404 for what there is not.
    """
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
