"""Mails about accounts that were asked for and are not sent yet."""

from django.db import models


class AccountMail(models.Model):
    """One who asked for a mail. The row goes when the mail is sent: who asked is kept nowhere.

    It says nothing of whether there is an account: whoever sends the mail looks that up, so that
    asking costs the same work for every address.
    """

    class About(models.TextChoices):
        SIGN_UP = "sign-up", "Opening a studio"
        FORGOTTEN = "forgotten", "A forgotten password"

    about = models.CharField(max_length=9, choices=About.choices)
    email = models.EmailField("e-mail")
    site = models.CharField(max_length=300, help_text="Where it was asked: scheme and host.")
    asked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"mail about {self.get_about_display().lower()}"
