"""From a fill to the same strokes over other feet."""

from django import template
from django.http import QueryDict
from django.urls import reverse

from assignments.models import AssignedVariation

register = template.Library()


@register.filter
def over_other_feet(fill: AssignedVariation) -> str:
    """Return the address of a new rule set: that of the fill, over feet that keep going.

    Saved, it leads on to fills of the same bar for the same student, of strokes that they know.
    """
    given = fill.assignment
    again, rules = QueryDict(mutable=True), QueryDict(mutable=True)
    again.update({"students": str(given.student_id), "bar": str(given.source_bar_id)})
    again.update({"beats": str(given.beats or ""), "tempo": str(given.tempo), "strokes": "again"})
    rules["over_other_feet"] = str(given.rule_set_id)
    rules["then"] = f"{reverse('assignments:assign')}?{again.urlencode()}"
    return f"{reverse('rhythms:rule-set-new')}?{rules.urlencode()}"
