"""Students and kits."""

from typing import Any, cast

from django import forms
from django.db.models import Q

from studio.forms import refuse_taken
from studio.models import Kit, Student, Studio
from studio.models.kit import check_surfaces
from studio.surface_names import SURFACES, called


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

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
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
        nickname: str = self.cleaned_data["nickname"]
        refuse_taken(nickname, "nickname", self.instance, self.studio)
        return nickname

    def save(self, commit: bool = True) -> Student:
        self.instance.studio = self.studio
        student: Student = super().save(commit)
        return student


class KitForm(forms.ModelForm):
    surfaces = forms.MultipleChoiceField(
        choices=[(name, called(name).capitalize()) for name in SURFACES],
        widget=forms.CheckboxSelectMultiple,
        help_text="Everything on it that a stick or a foot can play.",
        error_messages={"required": "Choose at least one surface to play with a stick."},
    )

    class Meta:
        model = Kit
        fields = ["name", "surfaces"]
        help_texts = {"name": "Such as “Practice pad and cymbal” or “School kit”."}

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        refuse_taken(name, "name", self.instance, self.studio)
        return name

    def clean_surfaces(self) -> list[str]:
        surfaces: list[str] = self.cleaned_data["surfaces"]
        check_surfaces(surfaces)
        return surfaces

    def save(self, commit: bool = True) -> Kit:
        self.instance.studio = self.studio
        kit: Kit = super().save(commit)
        return kit
