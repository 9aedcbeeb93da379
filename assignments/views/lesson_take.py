"""What a student played in the lesson, entered by the teacher on a grid."""

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from assignments import taking
from assignments.forms.take import LessonForm, grid_for
from assignments.models import AssignedVariation, Take
from rhythms.engine import EngineError, Meter, Surface
from rhythms.forms.bars import METERS
from rhythms.grid import Grid, divisions
from rhythms.notation.placement import PLACEMENTS
from studio.access import student_of, teacher_required
from studio.models import Student
from studio.requests import TeacherRequest

USUAL_TEMPO = 80
_DIVISION, _METER = "16ths", "4/4"
_VELOCITY = 80
_MINUTE = 60_000


@teacher_required
def enter(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    fill = _asked_fill(request, student)
    meter, division, grid = _grid(request, fill)
    form = LessonForm(
        request.POST or None,
        grid=grid,
        surfaces=student.kit.surfaces,
        fill=fill.as_fill if fill else None,
        initial={"tempo": fill.assignment.tempo if fill else USUAL_TEMPO, "times": 1},
    )
    if request.method == "POST" and form.is_valid():
        try:
            take, _ = taking.keep(student, _caught(form, meter, fill))
            return redirect("assignments:take", take.pk)
        except taking.TakenDifferentlyError as error:
            form.add_error(None, str(error))
    page = {
        "student": student,
        "form": form,
        "fill": fill,
        "fills": AssignedVariation.objects.kept().of(student).in_playing_order(),
        "meter": str(meter),
        "meters": METERS,
        "division": division,
        "divisions": divisions(meter),
        "surfaces": student.kit.surfaces,
    }
    status = 422 if form.is_bound and not form.is_valid() else 200
    return render(request, "assignments/lesson_take.html", page, status=status)


def _caught(form: LessonForm, meter: Meter, fill: AssignedVariation | None) -> taking.Caught:
    """The bar once, exactly in time; that it was played often is told by how long it lasted."""
    tempo, times = form.cleaned_data["tempo"], form.cleaned_data["times"]
    events = [
        (round(onset * _MINUTE / tempo, 2), PLACEMENTS[Surface(name)].key, _VELOCITY)
        for onset, name in form.struck()
    ]
    return taking.Caught(
        id=form.cleaned_data["take"],
        source=Take.Source.LESSON,
        events=events,
        meter=str(meter),
        tempo=tempo,
        click={"tempo": tempo, "start": 0.0},
        seconds=round(times * float(meter.length) * 60 / tempo, 2),
        variation=fill,
    )


def _grid(request: TeacherRequest, fill: AssignedVariation | None) -> tuple[Meter, str, Grid]:
    """Raises Http404 for a meter or a division that there is not."""
    try:
        meter = fill.as_fill.bar.meter if fill else Meter.parse(request.GET.get("meter", _METER))
        division = request.GET.get("division", _DIVISION)
        if division not in divisions(meter):
            division = divisions(meter)[-1] if meter.in_eighths else _DIVISION
        return meter, division, grid_for(fill.as_fill if fill else None, str(meter), division)
    except EngineError as error:
        raise Http404 from error


def _asked_fill(request: TeacherRequest, student: Student) -> AssignedVariation | None:
    asked = request.GET.get("fill", "")
    if not asked.isdecimal():
        return None
    return get_object_or_404(AssignedVariation.objects.kept().of(student), pk=int(asked))
