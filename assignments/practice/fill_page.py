"""What a fill's own page shows: the fill, its groove, its tempos, and what can be done with it."""

from typing import Any

from assignments.blocks import groove_written, playable
from assignments.days import today_in
from assignments.fill_queries import beside
from assignments.models import AssignedVariation
from assignments.models.assignment import FASTEST, SLOWEST
from assignments.planned_pieces import tempos_of
from assignments.practice.forms import LogForm
from assignments.stage_session import stage_of_fill
from assignments.student_grooves import played_by
from rhythms.notation.practice_text import leading_bar
from rhythms.renderings.rendering_store import engraving_of, put_off
from studio.models import Student


def fill_page(student: Student, fill: AssignedVariation, form: LogForm) -> dict[str, Any]:
    """Return what `assignments/practice/fill.html` needs."""
    before, after = beside(student, fill)
    assignment, grooves = fill.assignment, played_by(student)
    groove = groove_written(assignment, fill.as_fill.bar.meter.one_bar)
    bars = [engraving_of(bar, counts=True, feel=assignment.feel) for bar in groove.bars]
    tempos = tempos_of(student, fill, today_in(student.studio))
    return {
        "fill": fill,
        "assignment": assignment,
        "tempos": tempos,
        "playable": playable(fill, grooves) | {"tempo": tempos.today},
        "stage": stage_of_fill(fill, grooves),
        "groove": groove,
        "groove_bars": put_off(bars),
        "leading_bar": leading_bar(fill.as_fill.bar),
        "form": form,
        "slowest": SLOWEST,
        "fastest": FASTEST,
        "before": before,
        "after": after,
    }
