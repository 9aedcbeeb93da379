"""Signing up, signing in, and the studio's own settings."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.forms import AuthenticationForm
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


class AccountEmailField(forms.EmailField):
    """An address as accounts have it: in lower case, and no longer than they keep."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.EmailInput(attrs={"autocomplete": "email"})
        super().__init__(label="E-mail", max_length=254, widget=widget, **kwargs)

    def to_python(self, value: Any) -> str:
        return str(super().to_python(value)).lower()


class SignUpForm(forms.Form):
    """Asks for an address; says nothing of whether it has an account."""

    email = AccountEmailField(help_text="You sign in with it.")

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request

    def clean(self) -> dict[str, object]:
        refuse_if_too_often(self.request, SignUpsByAddress)
        return super().clean() or self.cleaned_data

    def refuse_taken(self) -> bool:
        """Say that the address has an account, if so: to who may know."""
        taken = Teacher.objects.filter(email=self.cleaned_data["email"]).exists()
        if taken:
            self.add_error("email", ValidationError(E_MAIL_TAKEN, code="e-mail-taken"))
        return taken


class OpenStudioForm(StudioForm):
    """What opens the studio of somebody whose address is certain."""

    password = forms.CharField(
        strip=False,
        help_text="At least 8 characters, not all digits, and none of the common ones.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    field_order = ["name", "password", "timezone"]

    def __init__(self, *args: Any, email: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.email = email

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, Teacher(email=self.email))
        return password

    def open(self) -> Teacher | None:
        """Make the teacher's account, open their studio, and return the teacher.

        Returns None, with the error above the form, where there is such an account by now.
        """
        data = self.cleaned_data
        try:
            with transaction.atomic():
                teacher = Teacher.objects.create_user(self.email, data["password"])
                create_studio(data["name"], data["timezone"], teacher)
        except IntegrityError:
            if not Teacher.objects.filter(email=self.email).exists():
                raise
            self.add_error(None, ValidationError(E_MAIL_TAKEN, code="e-mail-taken"))
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


class ForgottenForm(forms.Form):
    """Asks for the e-mail of an account; says nothing of whether there is one."""

    email = AccountEmailField()

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request

    def clean(self) -> dict[str, object]:
        refuse_if_too_often(self.request, ForgottenByAddress)
        return super().clean() or self.cleaned_data
