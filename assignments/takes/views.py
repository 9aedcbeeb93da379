"""Takes: the list, one of them, and the ways to make one, in the lesson too."""

from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db.models import Prefetch
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from assignments.device_forms import sent_once
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import fills_to_choose
from assignments.models import AssignedVariation, KitMap, Take
from assignments.student_access import own_variation, seen_removed_take, seen_take
from assignments.takes import take_store
from assignments.takes.forms import (
    CountedForm,
    KitMapForm,
    LessonForm,
    SaidGrooveForm,
    SaidTempoForm,
    TakeFileForm,
    grid_for,
)
from assignments.takes.record_page import recording_page
from assignments.takes.said_groove import say_groove
from assignments.takes.take_limits import NotTakenError, TooManyTakesError
from assignments.takes.take_report import Report
from rhythms.bars.bar_grid import Grid, divisions
from rhythms.engine import EngineError, Meter, Surface
from rhythms.engine.bars.feel import LEAST
from rhythms.engine.errors import MeterError
from rhythms.engine.kits.surfaces import called
from rhythms.fill_spaces import engine_kit
from rhythms.forms import METERS
from rhythms.notation.staff_placement import PLACEMENTS
from studio import removal_views
from studio.access import sign_in_required, student_of, student_required, teacher_required
from studio.forms import number_in
from studio.models import Student
from studio.pagination import ListPage, page_of
from studio.request_types import Request, StudentRequest, TeacherRequest

USUAL_TEMPO = 80
_DIVISION, _METER = "16ths", "4/4"
_VELOCITY = 80
_MINUTE = 60_000


@require_safe
@student_required
def takes(request: StudentRequest) -> HttpResponse:
    takes = _shown_takes(request, request.student)
    return render(request, "assignments/takes/takes.html", {"takes": takes})


@require_safe
@teacher_required
def student_takes(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    page = {"student": student, "takes": _shown_takes(request, student)}
    return render(request, "assignments/takes/takes.html", page)


def _shown_takes(request: Request, student: Student) -> ListPage:
    """Return a page of them with their fills, and these with their pictures."""
    fills = AssignedVariation.objects.select_related("assignment", "rendering")
    takes = page_of(
        request, Take.objects.of(student).prefetch_related(Prefetch("variation", fills))
    )
    with_pictures(dict.fromkeys(take.variation for take in takes if take.variation))
    return takes


@require_safe
@sign_in_required
def take(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    return _show(request, seen, SaidTempoForm(take=seen))


@require_POST
@sign_in_required
@sent_once
def take_again(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    take_store.reanalyse(seen)
    return redirect("assignments:take", pk)


@require_POST
@sign_in_required
@sent_once
def take_tempo(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    form = SaidTempoForm(request.POST, take=seen)
    if not form.is_valid():
        return _show(request, seen, form)
    take_store.read_at(seen, form.cleaned_data["said_tempo"], form.feel)
    return redirect("assignments:take", pk)


@require_POST
@sign_in_required
@sent_once
def take_count(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    form = CountedForm(request.POST)
    if not form.is_valid():
        return _show(request, seen, SaidTempoForm(take=seen), of_count=form)
    take_store.count_as(seen, form.cleaned_data["counted"])
    return redirect("assignments:take", pk)


@require_POST
@sign_in_required
@sent_once
def take_groove(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    form = SaidGrooveForm(request.POST, take=seen)
    if not form.is_valid():
        return _show(request, seen, SaidTempoForm(take=seen), form)
    say_groove(seen, form.cleaned_data["groove"])
    return redirect("assignments:take", pk)


@sign_in_required
@sent_once
def take_remove(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    return removal_views.ask_and_remove(
        request,
        seen,
        consequence=("It no longer counts for anything."),
        back=_list_of(request, seen),
        undo=reverse("assignments:take-restore", args=[pk]),
    )


@require_POST
@sign_in_required
@sent_once
def take_restore(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_removed_take(request, pk)
    return removal_views.undo(request, seen, back=_list_of(request, seen))


@require_safe
@student_required
def record(request: StudentRequest) -> HttpResponse:
    fill = _fill_asked_for(request)
    page = recording_page(request.student, fill, _asked_meter(request))
    return render(request, "assignments/takes/record.html", page)


@student_required
@sent_once
def take_upload(request: StudentRequest) -> HttpResponse:
    asked = _fill_asked_for(request)
    form = TakeFileForm(
        request.POST or None,
        request.FILES or None,
        fills=AssignedVariation.objects.kept().of(request.student),
        shown=fills_to_choose(request.student, asked),
        student=request.student,
        initial={"variation": asked},
    )
    if request.method == "POST" and form.is_valid() and (kept := _kept(request, form)):
        return redirect("assignments:take", kept.pk)
    page = {
        "title": "Send a MIDI file",
        "form": form,
        "submit": "Send it",
        "later": "your MIDI file",
        "back": reverse("assignments:takes"),
        "intro": "What an electronic kit recorded: one fill, or groove and fills as you like.",
    }
    status = 429 if form.has_error(NON_FIELD_ERRORS, TooManyTakesError.code) else _status(form)
    return render(request, "assignments/takes/take_upload.html", page, status=status)


@student_required
@sent_once
def kit_map(request: StudentRequest) -> HttpResponse:
    student = request.student
    learnt = KitMap.objects.filter(student=student).first()
    surfaces = _to_strike(student)
    form = KitMapForm(
        request.POST if request.method == "POST" else None,
        surfaces=surfaces,
        known=learnt.surfaces if learnt else {},
        asked=_unknown_keys(student),
    )
    if request.method == "POST" and form.is_valid():
        take_store.learn_kit(student, form.keys())
        messages.success(request, "Kept. What your kit sent before is looked at again.")
        return redirect("assignments:kit-map")
    page = {"form": form, "surfaces": surfaces, "called": [called(one) for one in surfaces]}
    return render(request, "assignments/takes/kit_map.html", page, status=_status(form))


@require_safe
@student_required
def delay(request: StudentRequest) -> HttpResponse:
    return render(request, "assignments/takes/delay.html")


def _show(
    request: Request,
    seen: Take,
    form: SaidTempoForm,
    of_groove: SaidGrooveForm | None = None,
    of_count: CountedForm | None = None,
) -> HttpResponse:
    report = Report(seen) if seen.state == Take.State.DONE else None
    if seen.variation_id:
        fills = AssignedVariation.objects.select_related("assignment", "rendering")
        seen.variation = fills.get(pk=seen.variation_id)
    sent = of_groove or of_count or form
    if of_groove is None and seen.variation_id is None and report:
        of_groove = SaidGrooveForm(take=seen)
    page = {
        "take": seen,
        "report": report,
        "form": form,
        "of_groove": of_groove,
        "of_count": of_count,
    }
    return render(request, "assignments/takes/take.html", page, status=_status(sent))


def _kept(request: StudentRequest, form: TakeFileForm) -> Take | None:
    """The take of the file; None where the form now says why not."""
    sent = form.cleaned_data
    name, data = sent["file"]
    about = {"variation": sent["variation"], "meter": sent["meter"]}
    try:
        take = take_store.create_take_from_file(
            request.student, data, name, id=sent["take"], **about
        )
    except NotTakenError as error:
        form.add_error(None, ValidationError(str(error), code=error.code))
        return None
    if take.variation_id is None:
        say_groove(take, sent["groove"])
    return take


def _to_strike(student: Student) -> list[str]:
    """What the student's kit has, with the ways of striking it."""
    kit = engine_kit(student)
    return [str(surface) for surface in (*kit.surfaces, *kit.ways)]


def _unknown_keys(student: Student) -> set[int]:
    """Keys of the latest takes that meant nothing."""
    latest = Take.objects.of(student).exclude(analysis=None).values_list("analysis", flat=True)
    return {int(key) for analysis in latest[:20] for key in (analysis or {}).get("unknown", {})}


def _fill_asked_for(request: StudentRequest) -> AssignedVariation | None:
    """The fill of `?fill=`; none for a free take, 404 for one that is not theirs."""
    asked = number_in(request.GET.get("fill", ""))
    return None if asked is None else own_variation(request.student, asked)


def _asked_meter(request: StudentRequest) -> Meter:
    try:
        return Meter.parse(request.GET.get("meter", "4/4"))
    except MeterError:
        return Meter(4, 4)


def _list_of(request: Request, seen: Take) -> str:
    if request.student:
        return reverse("assignments:takes")
    return reverse("assignments:student-takes", args=[seen.student_id])


def _status(form: forms.Form) -> int:
    return 422 if form.is_bound and not form.is_valid() else 200


@teacher_required
def lesson_take(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    fill = _fill_of_lesson(request, student)
    meter, division, grid = _grid(request, fill)
    surfaces = _to_strike(student)
    form = LessonForm(
        request.POST or None,
        grid=grid,
        surfaces=surfaces,
        fill=fill.as_fill if fill else None,
        initial={"tempo": fill.assignment.tempo if fill else USUAL_TEMPO, "times": 1},
    )
    if request.method == "POST" and form.is_valid():
        try:
            take, _ = take_store.create_take(student, _caught(form, meter, fill))
            return redirect("assignments:take", take.pk)
        except NotTakenError as error:
            form.add_error(None, str(error))
    page = {
        "student": student,
        "form": form,
        "fill": fill,
        "fills": fills_to_choose(student, fill),
        "meter": str(meter),
        "meters": METERS,
        "division": division,
        "divisions": divisions(meter),
        "surfaces": surfaces,
    }
    status = 422 if form.is_bound and not form.is_valid() else 200
    return render(request, "assignments/takes/lesson_take.html", page, status=status)


def _caught(form: LessonForm, meter: Meter, fill: AssignedVariation | None) -> take_store.TakeInput:
    """The bar once, exactly in time; its length shows how often it was played."""
    tempo, times = form.cleaned_data["tempo"], form.cleaned_data["times"]
    events = [
        (round(onset * _MINUTE / tempo, 2), PLACEMENTS[Surface(name)].key, _VELOCITY)
        for onset, name in form.struck()
    ]
    return take_store.TakeInput(
        id=form.cleaned_data["take"],
        source=Take.Source.LESSON,
        events=events,
        meter=str(meter),
        tempo=tempo,
        click={"tempo": tempo, "start": 0.0},
        swing=LEAST,  # it is entered as it is written
        seconds=round(times * float(meter.length) * 60 / tempo, 2),
        variation=fill,
    )


def _grid(request: TeacherRequest, fill: AssignedVariation | None) -> tuple[Meter, str, Grid]:
    """Raises Http404 for a meter or a division that there is not."""
    try:
        meter = fill.as_fill.bar.meter if fill else Meter.parse(request.GET.get("meter", _METER))
        division = request.GET.get("division", _DIVISION)
        if division not in divisions(meter):
            division = _DIVISION
        return meter, division, grid_for(fill.as_fill if fill else None, str(meter), division)
    except EngineError as error:
        raise Http404 from error


def _fill_of_lesson(request: TeacherRequest, student: Student) -> AssignedVariation | None:
    asked = number_in(request.GET.get("fill", ""))
    if asked is None:
        return None
    return get_object_or_404(AssignedVariation.objects.kept().of(student), pk=asked)
