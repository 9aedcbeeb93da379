"""The first page, signing up, in and out, settings, and forgotten passwords."""

from typing import Any

from django import conf
from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm, SetPasswordForm
from django.contrib.auth.views import (
    LoginView,
    PasswordChangeView,
    PasswordResetConfirmView,
    PasswordResetView,
)
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.views.decorators.http import require_POST, require_safe

from studio.access import teacher_required
from studio.accounts.forms import ForgottenForm, SignInForm, SignUpForm, StudioForm
from studio.context_processors import address_of
from studio.models import Teacher
from studio.request_types import Request, TeacherRequest


@require_safe
def landing(request: HttpRequest) -> HttpResponse:
    return render(request, "studio/accounts/landing.html")


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
    return render(request, "studio/accounts/sign_up.html", {"form": form})


class SignIn(LoginView):
    template_name = "studio/accounts/sign_in.html"
    authentication_form = SignInForm

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        logout(self.request)  # a student's session on this device ends here
        return super().form_valid(form)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("studio:landing")


class ChangePassword(PasswordChangeView):
    template_name = "studio/studio_form.html"
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
    return render(request, "studio/accounts/studio_settings.html", page)


class Forgotten(PasswordResetView):
    template_name = "studio/accounts/forgotten.html"
    form_class = ForgottenForm
    subject_template_name = "studio/accounts/new_password_subject.txt"
    email_template_name = "studio/accounts/new_password_mail.txt"
    success_url = reverse_lazy("studio:forgotten-sent")

    def get_form_kwargs(self) -> dict[str, object]:
        return super().get_form_kwargs() | {"request": self.request}

    def get_context_data(self, **kwargs: Any) -> dict[str, object]:
        return super().get_context_data(**kwargs) | {"sends_mail": bool(conf.settings.EMAIL_HOST)}


@require_safe
def forgotten_sent(request: HttpRequest) -> HttpResponse:
    """Say the same whether the address has an account or not."""
    return render(request, "studio/accounts/forgotten_sent.html")


class NewPassword(PasswordResetConfirmView):
    template_name = "studio/accounts/new_password.html"
    success_url = reverse_lazy("studio:home")
    post_reset_login = True

    def form_valid(self, form: "SetPasswordForm[Teacher]") -> HttpResponse:
        messages.success(self.request, "Your new password is set.")
        return super().form_valid(form)
