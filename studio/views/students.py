"""A teacher's students: who they are, not what they play."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from studio import removing
from studio.access import owned_or_removed, student_of, teacher_required
from studio.forms.people import StudentForm
from studio.models import Student
from studio.requests import TeacherRequest


@require_safe
@teacher_required
def students(request: TeacherRequest) -> HttpResponse:
    kept = Student.objects.kept().filter(studio=request.studio)
    page = {
        "students": kept.select_related("kit").with_working_links().order_by("nickname"),
        "here": "students",
    }
    return render(request, "studio/students.html", page)


@teacher_required
def add(request: TeacherRequest) -> HttpResponse:
    form = StudentForm(request.POST or None, studio=request.studio)
    if request.method == "POST" and form.is_valid():
        student = form.save()
        messages.success(request, f"{student} is added. Make the link they sign in with.")
        return redirect("studio:links", student.pk)
    page = {
        "title": "Add a student",
        "form": form,
        "submit": "Add student",
        "back": reverse("studio:students"),
        "caution": "guardians",
        "here": "students",
    }
    return render(request, "studio/form.html", page)


@teacher_required
def edit(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    form = StudentForm(request.POST or None, instance=student, studio=request.studio)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{student} is saved.")
        return redirect("studio:students")
    page = {
        "title": f"Edit {form.initial['nickname']}",
        "form": form,
        "submit": "Save student",
        "back": reverse("studio:students"),
        "student": student,
        "here": "students",
    }
    return render(request, "studio/edit_student.html", page)


@teacher_required
def remove(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    return removing.ask_and_remove(
        request,
        student,
        consequence=(
            f"{student} leaves your lists and can no longer sign in. What they practised is "
            "kept, and you can undo this right after; what they played, their takes, is deleted "
            "for good after a month."
        ),
        back=reverse("studio:students"),
        undo=reverse("studio:student-restore", args=[pk]),
    )


@require_POST
@teacher_required
def restore(request: TeacherRequest, pk: int) -> HttpResponse:
    student = owned_or_removed(request, Student, pk)
    return removing.undo(request, student, back=reverse("studio:students"))
