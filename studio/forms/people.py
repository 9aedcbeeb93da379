"""Students and kits."""

from typing import cast

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q

from studio.models import Kit, Student, Studio
from studio.models.kit import check_surfaces
from studio.removal import Removable
from studio.surfaces import SURFACES


def refuse_taken(name: str, field: str, thing: Removable, studio: Studio) -> None:
    """Raise ValidationError where another kept one of the studio has this name already."""
    same_name = {"studio": studio, "removed_at": None, f"{field}__iexact": name}
    if type(thing)._default_manager.filter(**same_name).exclude(pk=thing.pk).exists():
        raise ValidationError(
            "There is already a %(kind)s “%(name)s”. Add a letter or a word to tell them apart.",
            code="name-taken",
            params={"kind": thing._meta.verbose_name, "name": name},
        )


class StudentForm(forms.ModelForm):
    class Meta:
        model = Student
        fields = ["nickname", "handedness", "kit", "level", "lesson_weekday", "mixing"]
        help_texts = {
            "nickname": "A nickname, not a full name. It is all that is kept about who they are.",
            "mixing": "What is best differs from player to player, above all with children.",
            "handedness": "For a left-handed student the kit is mirrored.",
        }
        widgets = {
            "handedness": forms.RadioSelect,
            "mixing": forms.RadioSelect,
            "nickname": forms.TextInput,
        }

    def __init__(self, *args, studio: Studio, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio
        theirs = Q(removed_at=None) | Q(pk=self.instance.kit_id)
        kits = Kit.objects.filter(theirs, studio=studio)
        kit = cast(forms.ModelChoiceField, self.fields["kit"])
        kit.queryset, kit.empty_label, kit.initial = kits, None, kits.order_by("pk").first()
        weekday = cast(forms.ChoiceField, self.fields["lesson_weekday"])
        weekday.choices = [("", "No fixed day"), *Student.Weekday.choices]
        self.fields["nickname"].widget.attrs["autocomplete"] = "off"

    def clean_nickname(self) -> str:
        refuse_taken(self.cleaned_data["nickname"], "nickname", self.instance, self.studio)
        return self.cleaned_data["nickname"]

    def save(self, commit: bool = True) -> Student:
        self.instance.studio = self.studio
        return super().save(commit)


class KitForm(forms.ModelForm):
    surfaces = forms.MultipleChoiceField(
        choices=[(name, name.capitalize()) for name in SURFACES],
        widget=forms.CheckboxSelectMultiple,
        help_text="Everything on it that a stick or a foot can play.",
        error_messages={"required": "Choose at least one surface to play with a stick."},
    )

    class Meta:
        model = Kit
        fields = ["name", "surfaces"]
        help_texts = {"name": "Such as “Practice pad and cymbal” or “School kit”."}

    def __init__(self, *args, studio: Studio, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio

    def clean_name(self) -> str:
        refuse_taken(self.cleaned_data["name"], "name", self.instance, self.studio)
        return self.cleaned_data["name"]

    def clean_surfaces(self) -> list[str]:
        surfaces = self.cleaned_data["surfaces"]
        check_surfaces(surfaces)
        return surfaces

    def save(self, commit: bool = True) -> Kit:
        self.instance.studio = self.studio
        return super().save(commit)
