"""Signing up, signing in, and the studio's own settings."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordResetForm
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.http import HttpRequest

from studio.accounts.throttling import (
    ForgottenByAddress,
    SignInsByAccount,
    SignInsByAddress,
    SignUpsByAddress,
    minutes_to_wait,
)
from studio.models import Studio, Teacher
from studio.studio_opening import create_studio

E_MAIL_TAKEN = "There is already an account with this e-mail. Sign in instead."
_OLD_NAMES = ("Etc/", "SystemV/", "US/", "posix/", "right/")


def timezone_choices() -> list[tuple[str, str]]:
    """Return the zones by place, as select choices."""
    places = sorted(
        zone for zone in available_timezones() if "/" in zone and not zone.startswith(_OLD_NAMES)
    )
    return [("UTC", "UTC"), *((zone, zone.replace("_", " ")) for zone in places)]


def refuse_if_too_often(request: HttpRequest, *throttles: type) -> None:
    """Count this try; raise ValidationError that says how long to wait after too many."""
    if minutes := minutes_to_wait(request, *throttles):
        raise ValidationError(
            "Too many tries. Wait %(minutes)d min, then try again.",
            code="too-many-tries",
            params={"minutes": minutes},
        )


class StudioForm(forms.ModelForm):
    timezone = forms.ChoiceField(
        label="Time zone",
        choices=timezone_choices,
        help_text="Practice days begin and end by this clock.",
    )

    class Meta:
        model = Studio
        fields = ["name", "timezone"]


class SignUpForm(StudioForm):
    email = forms.EmailField(
        label="E-mail",
        max_length=254,
        help_text="You sign in with it.",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )
    password = forms.CharField(
        strip=False,
        help_text="At least 8 characters, not all digits, and none of the common ones.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    field_order = ["name", "email", "password", "timezone"]

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request

    def clean_email(self) -> str:
        email: str = self.cleaned_data["email"].lower()
        if Teacher.objects.filter(email=email).exists():
            raise ValidationError(E_MAIL_TAKEN, code="e-mail-taken")
        return email

    def clean(self) -> dict[str, object]:
        refuse_if_too_often(self.request, SignUpsByAddress)
        cleaned = super().clean() or self.cleaned_data
        self._check_password(cleaned)
        return cleaned

    def _check_password(self, cleaned: dict) -> None:
        try:
            validate_password(cleaned.get("password", ""), Teacher(email=cleaned.get("email", "")))
        except ValidationError as error:
            if "password" in cleaned:
                self.add_error("password", error)

    def open(self) -> Teacher | None:
        """Make the teacher's account, open their studio, and return the teacher.

        Returns None, with the error beside the e-mail, where the same form came in twice at once.
        """
        data = self.cleaned_data
        try:
            with transaction.atomic():
                teacher = Teacher.objects.create_user(data["email"], data["password"])
                create_studio(data["name"], data["timezone"], teacher)
        except IntegrityError:
            if not Teacher.objects.filter(email=data["email"]).exists():
                raise
            self.add_error("email", E_MAIL_TAKEN)
            return None
        return teacher


class SignInForm(AuthenticationForm):
    request: HttpRequest

    error_messages = {
        "invalid_login": (
            "This e-mail and this password do not belong together. Check both; in the "
            "password, capital letters count."
        ),
        "inactive": "This account is closed.",
    }

    def clean(self) -> dict[str, object]:
        refuse_if_too_often(self.request, SignInsByAddress, SignInsByAccount)
        return super().clean()


class ForgottenForm(PasswordResetForm):
    """Asks for the e-mail of an account; says nothing of whether there is one."""

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        self.fields["email"].label = "E-mail"

    def clean(self) -> dict[str, object]:
        refuse_if_too_often(self.request, ForgottenByAddress)
        return super().clean() or self.cleaned_data
