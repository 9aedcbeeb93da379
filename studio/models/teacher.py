"""A teacher: the only kind of user with an e-mail address and a password."""

from typing import Any, ClassVar

from django.contrib.auth.models import AbstractUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower


class TeacherManager(BaseUserManager["Teacher"]):
    def create_user(self, email: str, password: str | None = None, **fields: Any) -> "Teacher":
        """Create a teacher; raises ValueError without an e-mail address."""
        if not email:
            raise ValueError("A teacher needs an e-mail address.")
        teacher = self.model(email=email, **fields)
        teacher.set_password(password)
        teacher.save(using=self._db)
        return teacher

    def create_superuser(self, email: str, password: str | None = None, **fields: Any) -> "Teacher":
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)

    def get_by_natural_key(self, email: str | None) -> "Teacher":
        return self.get(email=(email or "").lower())


class Teacher(AbstractUser):
    """Signs in with an e-mail address, kept in lower case so that it is found however typed."""

    username = None  # type: ignore[assignment]
    email = models.EmailField(
        "e-mail",
        unique=True,
        error_messages={"unique": "There is already an account with this e-mail. Sign in instead."},
    )

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    objects: ClassVar[TeacherManager] = TeacherManager()  # type: ignore[assignment]

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(email=Lower("email")), name="teacher_email_in_lower_case"
            )
        ]

    def __str__(self) -> str:
        return self.email

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.email = self.email.lower()
        super().save(*args, **kwargs)

    def clean(self) -> None:
        self.email = self.email.lower()
