"""A fill's small picture by itself: a list asks for it where it was not drawn yet."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.fill_pictures import picture_of_fill, with_pictures
from assignments.student_access import seen_variation
from rhythms.renderings.rendering_store import draw_if_put_off
from rhythms.renderings.visibility import seen_rendering
from studio.access import sign_in_required
from studio.request_types import Request


@require_safe
@sign_in_required
def fill_picture(request: Request, pk: int) -> HttpResponse:
    """The picture, or again what waits for it and asks anew while it is seen.

    Where it is `of` a simpler form, the address says of which.
    """
    fill, of = seen_variation(request, pk), request.GET.get("of", "")
    [small] = [seen_rendering(request, of)] if of else with_pictures([fill])
    draw_if_put_off(small)
    fill.small = small
    page = {"fill": fill, "picture": picture_of_fill(fill)._replace(of=of)}
    return render(request, "assignments/fill_picture.html", page)
