"""A student's takes: the list, one of them, and the ways to make one."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from assignments import taking
from assignments.forms.take import FileForm, KitMapForm, SaidTempoForm
from assignments.models import AssignedVariation, KitMap, Take
from assignments.own import own_variation, seen_removed_take, seen_take
from assignments.recording import recording_page
from assignments.take_report import Report
from assignments.views.paging import page_of
from rhythms.engine.errors import MeterError
from rhythms.engine.meter import Meter
from studio import removing
from studio.access import sign_in_required, student_of, student_required, teacher_required
from studio.requests import Request, StudentRequest, TeacherRequest


@require_safe
@student_required
def mine(request: StudentRequest) -> HttpResponse:
    takes = Take.objects.of(request.student).select_related("variation__assignment")
    return render(request, "assignments/takes.html", {"takes": page_of(request, takes)})


@require_safe
@teacher_required
def of_student(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    takes = Take.objects.of(student).select_related("variation__assignment")
    page = {"student": student, "takes": page_of(request, takes)}
    return render(request, "assignments/takes.html", page)


@require_safe
@sign_in_required
def take(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    return _show(request, seen, SaidTempoForm(initial={"said_tempo": seen.said_tempo}))


@require_POST
@sign_in_required
def again(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    taking.look_again(seen)
    return redirect("assignments:take", pk)


@require_POST
@sign_in_required
def tempo(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    form = SaidTempoForm(request.POST)
    if not form.is_valid():
        return _show(request, seen, form)
    taking.read_at(seen, form.cleaned_data["said_tempo"])
    return redirect("assignments:take", pk)


@sign_in_required
def remove(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_take(request, pk)
    return removing.ask_and_remove(
        request,
        seen,
        consequence=(
            "It no longer counts for anything. You can undo this for a day, then it is deleted "
            "for good."
        ),
        back=_list_of(request, seen),
        undo=reverse("assignments:take-restore", args=[pk]),
    )


@require_POST
@sign_in_required
def restore(request: Request, pk: UUID) -> HttpResponse:
    seen = seen_removed_take(request, pk)
    return removing.undo(request, seen, back=_list_of(request, seen))


@require_safe
@student_required
def record(request: StudentRequest) -> HttpResponse:
    fill = _asked_fill(request)
    page = recording_page(request.student, fill, _asked_meter(request))
    return render(request, "assignments/record.html", page)


@student_required
def upload(request: StudentRequest) -> HttpResponse:
    fills = AssignedVariation.objects.kept().of(request.student).in_playing_order()
    form = FileForm(
        request.POST or None,
        request.FILES or None,
        fills=fills,
        initial={"variation": _asked_fill(request)},
    )
    if request.method == "POST" and form.is_valid() and (kept := _kept(request, form)):
        return redirect("assignments:take", kept.pk)
    page = {
        "title": "Send a MIDI file",
        "form": form,
        "submit": "Send it",
        "back": reverse("assignments:takes"),
        "intro": "What an electronic kit recorded: one fill, or groove and fills as you like.",
    }
    return render(request, "assignments/take_upload.html", page, status=_status(form))


@student_required
def kit_map(request: StudentRequest) -> HttpResponse:
    student = request.student
    learnt = KitMap.objects.filter(student=student).first()
    form = KitMapForm(
        request.POST if request.method == "POST" else None,
        surfaces=student.kit.surfaces,
        known=learnt.surfaces if learnt else {},
        asked=_unknown_keys(student),
    )
    if request.method == "POST" and form.is_valid():
        taking.learn_kit(student, form.keys())
        messages.success(request, "Kept. What your kit sent before is looked at again.")
        return redirect("assignments:kit-map")
    page = {"form": form, "surfaces": student.kit.surfaces}
    return render(request, "assignments/kit_map.html", page, status=_status(form))


@require_safe
@student_required
def delay(request: StudentRequest) -> HttpResponse:
    return render(request, "assignments/delay.html")


def _show(request: Request, seen: Take, form: SaidTempoForm) -> HttpResponse:
    report = Report(seen) if seen.state == Take.State.DONE else None
    page = {"take": seen, "report": report, "form": form}
    return render(request, "assignments/take.html", page, status=_status(form))


def _kept(request: StudentRequest, form: FileForm) -> Take | None:
    """The take of the file; None where the form now says why not."""
    sent = form.cleaned_data
    name, data = sent["file"]
    about = {"variation": sent["variation"], "meter": sent["meter"]}
    try:
        return taking.keep_file(request.student, data, name, id=sent["take"], **about)
    except taking.TakenDifferentlyError as error:
        form.add_error(None, str(error))
        return None


def _unknown_keys(student) -> set[int]:
    """Keys of the latest takes that meant nothing."""
    latest = Take.objects.of(student).exclude(analysis=None).values_list("analysis", flat=True)
    return {int(key) for analysis in latest[:20] for key in (analysis or {}).get("unknown", {})}


def _asked_fill(request: StudentRequest) -> AssignedVariation | None:
    """The fill of `?fill=`; none for a free take, 404 for one that is not theirs."""
    asked = request.GET.get("fill", "")
    return own_variation(request.student, int(asked)) if asked.isdecimal() else None


def _asked_meter(request: StudentRequest) -> Meter:
    try:
        return Meter.parse(request.GET.get("meter", "4/4"))
    except MeterError:
        return Meter(4, 4)


def _list_of(request: Request, seen: Take) -> str:
    if request.student:
        return reverse("assignments:takes")
    return reverse("assignments:student-takes", args=[seen.student_id])


def _status(form) -> int:
    return 422 if form.is_bound and not form.is_valid() else 200
