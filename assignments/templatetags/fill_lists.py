"""`{% fill_picture fill %}`: its small picture, in a list of fills."""

import json

from django import template
from django.utils import timezone

from assignments import text
from assignments.blocks import heard_json
from assignments.fill_pictures import FillPicture, picture_of_fill
from assignments.models import AssignedVariation

register = template.Library()


@register.inclusion_tag("assignments/fill_picture.html")
def fill_picture(fill: AssignedVariation) -> dict[str, AssignedVariation | FillPicture]:
    """Show it; one that is still being drawn comes by itself. Lists call `with_pictures` before."""
    return {"fill": fill, "picture": picture_of_fill(fill)}


@register.filter
def heard_in_json(fill: AssignedVariation) -> str:
    """What "Hear" plays, written into the page: a simpler form has no address of its own."""
    return json.dumps(heard_json(fill))


@register.filter
def practice_so_far(fill: AssignedVariation) -> str:
    """`at 88, 12 min, last 2 days ago`: how much there is of it; needs `with_practice`."""
    asked = f"at {fill.assignment.tempo}"
    if not fill.times_logged or fill.last_practised is None:
        return asked
    minutes = text.minutes(fill.minutes_logged or 0)
    return f"{asked}, {minutes}, last {text.ago(fill.last_practised, timezone.localdate())}"


@register.filter
def fills_in_words(number: int) -> str:
    """`1 fill`, `3 fills`."""
    return text.count(number, "fill")


@register.filter
def holds_since(fill: AssignedVariation) -> str:
    """`since 5 March, at 88`: of one that holds."""
    held = timezone.localtime(fill.held_at)
    return f"since {held:%-d %B}, at {fill.assignment.tempo}"
