"""The first page, signing up, in and out, and where one goes from there."""

from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.views.decorators.http import require_POST, require_safe

from studio.access import teacher_required
from studio.context import address_of
from studio.forms.accounts import SignInForm, SignUpForm, StudioForm
from studio.requests import Request, TeacherRequest


@require_safe
def landing(request: HttpRequest) -> HttpResponse:
    return render(request, "studio/landing.html")


@require_safe
def home(request: Request) -> HttpResponse:
    """Send each to the page where their work begins."""
    if request.studio:
        return redirect(address_of("assignments:roster") or "studio:students")
    if request.student:
        return redirect(address_of("assignments:today") or "studio:landing")
    return redirect("studio:sign-in")


def sign_up(request: HttpRequest) -> HttpResponse:
    form = SignUpForm(request.POST or None, request=request)
    if request.method == "POST" and form.is_valid() and (teacher := form.open()):
        logout(request)
        login(request, teacher)
        messages.success(request, "Your studio is open. Add your first student.")
        return redirect("studio:students")
    return render(request, "studio/sign_up.html", {"form": form})


class SignIn(LoginView):
    template_name = "studio/sign_in.html"
    authentication_form = SignInForm

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        logout(self.request)  # a student's session on this device ends here
        return super().form_valid(form)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("studio:landing")


class ChangePassword(PasswordChangeView):
    template_name = "studio/form.html"
    success_url = reverse_lazy("studio:settings")
    extra_context = {
        "title": "Change your password",
        "submit": "Change password",
        "back": success_url,
        "here": "settings",
    }

    def form_valid(self, form: PasswordChangeForm) -> HttpResponse:
        messages.success(self.request, "Your password is changed.")
        return super().form_valid(form)


@teacher_required
def settings(request: TeacherRequest) -> HttpResponse:
    form = StudioForm(request.POST or None, instance=request.studio)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved.")
        return redirect("studio:settings")
    page = {"title": "Studio settings", "form": form, "submit": "Save settings", "here": "settings"}
    return render(request, "studio/settings.html", page)
