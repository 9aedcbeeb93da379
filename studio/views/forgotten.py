"""A forgotten password: a link by e-mail, good once and for a day."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.views import PasswordResetConfirmView, PasswordResetView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse_lazy
from django.views.decorators.http import require_safe

from studio.forms.accounts import ForgottenForm


class Forgotten(PasswordResetView):
    template_name = "studio/forgotten.html"
    form_class = ForgottenForm
    subject_template_name = "studio/new_password_subject.txt"
    email_template_name = "studio/new_password_mail.txt"
    success_url = reverse_lazy("studio:forgotten-sent")

    def get_form_kwargs(self) -> dict[str, object]:
        return super().get_form_kwargs() | {"request": self.request}

    def get_context_data(self, **kwargs) -> dict[str, object]:
        return super().get_context_data(**kwargs) | {"sends_mail": bool(settings.EMAIL_HOST)}


@require_safe
def sent(request: HttpRequest) -> HttpResponse:
    """Say the same whether the address has an account or not."""
    return render(request, "studio/forgotten_sent.html")


class NewPassword(PasswordResetConfirmView):
    template_name = "studio/new_password.html"
    success_url = reverse_lazy("studio:home")
    post_reset_login = True

    def form_valid(self, form) -> HttpResponse:
        messages.success(self.request, "Your new password is set.")
        return super().form_valid(form)
