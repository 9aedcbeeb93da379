"""The first page, signing up, in and out, settings, and forgotten passwords."""

from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm, SetPasswordForm
from django.contrib.auth.views import (
    LoginView,
    PasswordChangeView,
    PasswordResetConfirmView,
)
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from studio.access import teacher_required
from studio.accounts.account_mails import email_of, opening_token
from studio.accounts.forms import (
    ForgottenForm,
    OpenStudioForm,
    SignInForm,
    SignUpForm,
    StudioForm,
)
from studio.accounts.mail_requests import ask_for_mail, is_own_machine, sends_mail
from studio.context_processors import address_of
from studio.models import AccountMail, Teacher
from studio.request_types import Request, TeacherRequest
from studio.response_headers import hides_its_address


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


@require_http_methods(["GET", "HEAD", "POST"])
def sign_up(request: HttpRequest) -> HttpResponse:
    """Ask for an address, and send it the link that goes on; at one's own machine, go on."""
    form = SignUpForm(request.POST or None, request=request)
    at_home = is_own_machine(request)
    if request.method == "POST" and form.is_valid() and not (at_home and form.refuse_taken()):
        email = form.cleaned_data["email"]
        if at_home:
            return redirect("studio:open-studio", opening_token(email))
        ask_for_mail(AccountMail.About.SIGN_UP, email, request)
        return redirect("studio:sign-up-sent")
    page = {"form": form, "by_mail": not at_home}
    return render(request, "studio/accounts/sign_up.html", page)


@require_safe
def sign_up_sent(request: HttpRequest) -> HttpResponse:
    """Say the same whether the address has an account or not."""
    return render(request, "studio/accounts/sign_up_sent.html", {"sends_mail": sends_mail()})


@hides_its_address
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def open_studio(request: HttpRequest, token: str) -> HttpResponse:
    """Open the studio of who came by the link of the mail: looking at it opens nothing."""
    email = email_of(token)
    if email is None:
        return render(request, "studio/accounts/link_too_old.html", status=404)
    form = OpenStudioForm(request.POST or None, email=email)
    if request.method == "POST" and form.is_valid() and (teacher := form.open()):
        logout(request)
        login(request, teacher)
        messages.success(request, "Your studio is open. Add your first student.")
        return redirect("studio:students")
    return render(request, "studio/accounts/open_studio.html", {"form": form, "email": email})


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


@require_http_methods(["GET", "HEAD", "POST"])
def forgotten(request: HttpRequest) -> HttpResponse:
    form = ForgottenForm(request.POST or None, request=request)
    if request.method == "POST" and form.is_valid():
        ask_for_mail(AccountMail.About.FORGOTTEN, form.cleaned_data["email"], request)
        return redirect("studio:forgotten-sent")
    return render(request, "studio/accounts/forgotten.html", {"form": form})


@require_safe
def forgotten_sent(request: HttpRequest) -> HttpResponse:
    """Say the same whether the address has an account or not."""
    return render(request, "studio/accounts/forgotten_sent.html", {"sends_mail": sends_mail()})


class NewPassword(PasswordResetConfirmView):
    template_name = "studio/accounts/new_password.html"
    success_url = reverse_lazy("studio:home")
    post_reset_login = True

    def form_valid(self, form: "SetPasswordForm[Teacher]") -> HttpResponse:
        messages.success(self.request, "Your new password is set.")
        return super().form_valid(form)
