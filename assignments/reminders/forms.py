"""When a student wants to be reminded, and on which device."""

from datetime import time
from typing import Any

from django import forms

from assignments.models import Reminder
from assignments.reminders.push_device import PushDevice, PushDeviceError
from studio.models import Student

_FIVE = time(17)
_TIME_WANTED = "Give a time such as 17:00."


class ReminderForm(forms.Form):
    days = forms.TypedMultipleChoiceField(
        choices=Student.Weekday.choices,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose one day at least."},
    )
    at = forms.TimeField(
        label="Time",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        input_formats=["%H:%M", "%H:%M:%S"],
        error_messages={"required": _TIME_WANTED, "invalid": _TIME_WANTED},
    )

    def __init__(self, data: Any = None, reminder: Reminder | None = None) -> None:
        initial: dict[str, Any] = {"days": list(range(7)), "at": _FIVE}
        if reminder:
            initial = {"days": [int(day) for day in reminder.days], "at": reminder.at}
        super().__init__(data, initial=initial)


class DeviceReminderForm(ReminderForm):
    """The same, to be shown by the device whose browser has subscribed."""

    endpoint = forms.CharField(required=False, widget=forms.HiddenInput)
    p256dh = forms.CharField(required=False, widget=forms.HiddenInput)
    auth = forms.CharField(required=False, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        device = PushDevice(*(cleaned.get(name, "") for name in PushDevice._fields))
        try:
            device.check()
        except PushDeviceError:
            self.add_error(
                None,
                "This browser gave no address for reminders. Take the calendar file instead.",
            )
        return cleaned | {"device": device}
