"""`{% fill_picture fill %}`: its small picture, in a list of fills."""

from django import template

from assignments.fill_pictures import FillPicture, picture_of_fill
from assignments.models import AssignedVariation

register = template.Library()


@register.inclusion_tag("assignments/fill_picture.html")
def fill_picture(fill: AssignedVariation) -> dict[str, AssignedVariation | FillPicture]:
    """Show it; one that is still being drawn comes by itself. Lists call `with_pictures` before."""
    return {"fill": fill, "picture": picture_of_fill(fill)}
