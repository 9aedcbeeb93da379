"""Who may see an engraving: whoever has a fill that shows it, or that its groove leads to."""

from django.db.models import Q

from assignments.blocks import groove_written
from assignments.models import AssignedVariation, Assignment, Take
from assignments.planner.easier import simpler_fills
from rhythms.engine import EngineError, Fill
from rhythms.models import Rendering
from rhythms.renderings.rendering_store import on_a_page
from studio.request_types import Request


def variations_show(request: Request, rendering: Rendering) -> bool:
    """Whether the student has it, or a student of the teacher's studio."""
    shown = AssignedVariation.objects.kept().filter(_shows(rendering))
    if request.student:
        return shown.filter(assignment__student=request.student).exists()
    if request.studio:
        return shown.filter(assignment__studio=request.studio).exists()
    return False


def _shows(rendering: Rendering) -> Q:
    """Which fills have it, or the same drawn for a page."""
    if "drawn" in rendering.source:
        return Q(rendering__source=on_a_page(rendering.source))
    return Q(rendering=rendering)


def takes_show(request: Request, rendering: Rendering) -> bool:
    """Whether it was played in a take of the student, or of a student of the teacher's studio."""
    played = Take.objects.kept().filter(renderings=rendering)
    if request.student:
        return played.filter(student=request.student).exists()
    if request.studio:
        return played.filter(student__studio=request.studio).exists()
    return False


def simpler_forms_show(request: Request, rendering: Rendering) -> bool:
    """Whether it is what a plan may have in place of a fill that the student has."""
    if request.student is None:
        return False
    try:
        shown = rendering.fill.without_hands()
    except EngineError:
        return False
    theirs = AssignedVariation.objects.kept().filter(assignment__student=request.student)
    fills = (Fill.from_json(kept) for kept in theirs.values_list("fill", flat=True))
    same_meter = (fill for fill in fills if fill.bar.meter == shown.bar.meter)
    return any(shown == one.without_hands() for fill in same_meter for one in simpler_fills(fill))


def grooves_lead(request: Request, rendering: Rendering) -> bool:
    """Whether it is the groove before a fill that the student has."""
    if request.student is None:
        return False
    try:
        fill = rendering.fill
    except EngineError:
        return False
    theirs = Assignment.objects.kept().filter(student=request.student)
    in_meter = theirs.filter(source_bar__meter=str(fill.bar.meter))
    return any(fill in groove_written(one, fill.bar.meter.one_bar)[1] for one in in_meter)
