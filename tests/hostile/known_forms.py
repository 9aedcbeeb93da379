"""What pages and programs really send, learned from the pages' forms and the API's serializers."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable, Iterator
from contextlib import suppress
from random import Random
from typing import Any, NamedTuple
from urllib.parse import urljoin, urlsplit

from django.urls import Resolver404, resolve
from lxml import html
from rest_framework import serializers

from assignments.days import today_in
from assignments.practice.api import EntryIn
from assignments.takes.api import EventField, TakeIn
from rhythms.api import FillSpaceQuestion

#: Who reads what is sent to an address of the API.
SERIALIZERS: dict[tuple[str, str], type[serializers.Serializer]] = {
    ("assignments:api-practice-entries", "POST"): EntryIn,
    ("assignments:api-practice-entry", "PATCH"): EntryIn,
    ("assignments:api-takes", "POST"): TakeIn,
    ("rhythms:api-fill-space", "POST"): FillSpaceQuestion,
}
#: What is typed into a field that stands empty on its page, by its name.
TYPED = {
    "counts": ("1 & 2 e & a 3 & 4 e & a", "1 2 3 4", "1 e & a 2 & 3 trip let 4"),
    "email": ("someone@example.org", "ines@example.org"),
    "username": ("ines@example.org",),
    "password": ("paradiddle-diddle-7",),
    "old_password": ("paradiddle-diddle-7",),
    "new_password1": ("swiss-army-triplet-9",),
    "new_password2": ("swiss-army-triplet-9",),
    "minutes": ("5", "2.5"),
    "tempo": ("80", "97"),
    "do": ("up:r0", "remove:r0", "add:"),
    "way": ("up", "down"),
    "clean_loops": ("",),
    "said_tempo": ("", "88"),
    "swing": ("", "light", "60"),
}
_COUNTS = "1 & 2 e & a 3 & 4 e & a"
_RULES = [
    {"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]},
    {"rule": "sticking", "rudiment": "single paradiddle", "lead": "R"},
]


class FormField(NamedTuple):
    """A control of a form: its name, its kind, what it offers, and what the page has chosen."""

    name: str
    kind: str
    values: tuple[str, ...]
    chosen: tuple[str, ...] = ()


class KnownForm(NamedTuple):
    """A form of a page: where it is sent, how, and its controls."""

    address: str
    path: str
    method: str
    fields: tuple[FormField, ...]

    def filled(self, random: Random) -> list[tuple[str, str]]:
        """Names and values as somebody might fill it in who means well; often as it stands."""
        fill = _as_it_stands if random.random() < 0.5 else _filled
        buttons = [field for field in self.fields if field.kind in ("submit", "button")]
        pressed = [random.choice(buttons)] if buttons and random.random() < 0.7 else []
        others = [field for field in self.fields if field not in buttons]
        pairs = [pair for field in others for pair in fill(field, random)]
        return pairs + [(button.name, button.values[0]) for button in pressed]

    @property
    def files(self) -> list[str]:
        return [field.name for field in self.fields if field.kind == "file"]


def forms_in(page: bytes, path: str) -> Iterator[KnownForm]:
    """The forms of a page, and what htmx sends of them meanwhile."""
    if not page.strip():
        return
    document = html.fromstring(page.decode())
    for form in document.iter("form"):
        fields = tuple(_fields_of(form, document))
        for method, place in dict.fromkeys(_places_of(form)):
            there = urljoin(path, place)
            with suppress(Resolver404):
                yield KnownForm(resolve(urlsplit(there).path).view_name, there, method, fields)


def _places_of(form: html.HtmlElement) -> Iterator[tuple[str, str]]:
    """How and where a form is sent, by itself, by one of its buttons, or by htmx."""
    method = (form.get("method") or "get").upper()
    yield method, form.get("action") or ""
    for element in form.iter("form", "button", "input", "select", "textarea", "div", "fieldset"):
        for verb in ("post", "get"):
            if (address := element.get(f"hx-{verb}")) is not None:
                yield verb.upper(), address
        if address := element.get("formaction"):
            yield method, address


def _fields_of(form: html.HtmlElement, page: html.HtmlElement) -> Iterator[FormField]:
    ticks: dict[tuple[str, str], list[tuple[str, bool]]] = {}
    elsewhere = page.xpath("//*[@form=$name]", name=form.get("id")) if form.get("id") else []
    for control in (*form.iter("input", "select", "textarea", "button"), *elsewhere):
        name, kind = control.get("name"), control.get("type", control.tag)
        if not name or name == "csrfmiddlewaretoken":
            continue
        if control.tag == "select":
            options = {
                option.get("value", option.text or ""): option.get("selected") is not None
                for option in control.iter("option")
            }
            chosen = [value for value, selected in options.items() if selected]
            yield FormField(name, "one", tuple(options), tuple(chosen or [*options][:1]))
        elif kind in ("checkbox", "radio"):
            tick = (control.get("value", "on"), control.get("checked") is not None)
            ticks.setdefault((name, kind), []).append(tick)
        else:
            value = (control.text if control.tag == "textarea" else control.get("value")) or ""
            yield FormField(name, kind, (value,), (value,))
    for element in form.iter("button"):
        for name, value in json.loads(element.get("hx-vals", "{}")).items():
            yield FormField(name, "button", (str(value),))
    for (name, kind), found in ticks.items():
        checked = tuple(value for value, is_checked in found if is_checked)
        yield FormField(name, kind, tuple(value for value, _ in found), checked)


def _as_it_stands(field: FormField, random: Random) -> list[tuple[str, str]]:
    """What the page has, with what is to be typed where it has nothing."""
    if field.kind == "file":
        return []
    if field.kind in ("one", "radio", "checkbox", "hidden") or any(field.chosen):
        return [(field.name, value) for value in field.chosen]
    return [(field.name, random.choice(_typed(field.name, random)))]


def _filled(field: FormField, random: Random) -> list[tuple[str, str]]:
    name, kind, values, _ = field
    if kind == "file":
        return []
    if kind == "checkbox":
        return [(name, value) for value in random.sample(values, min(len(values), 2))]
    if kind in ("one", "radio"):
        return [(name, random.choice([value for value in values if value] or [""]))]
    if kind == "hidden" and values[0]:
        return [(name, values[0])]
    return [(name, random.choice((*_typed(name, random), *values)))]


def _typed(name: str, random: Random) -> tuple[str, ...]:
    if name.startswith("name") or name == "nickname":
        return (f"Words {random.randrange(10**6)}",)
    return TYPED.get(name, ("",))


def json_for(key: tuple[str, str], random: Random, things: dict[str, Any]) -> dict[str, Any] | None:
    """What a program sends that means well, by the serializer's fields; None where it has none."""
    kind = SERIALIZERS.get(key)
    return _object(kind(context={"student": things["student"]}), random, things) if kind else None


def _object(
    serializer: serializers.Serializer, random: Random, things: dict[str, Any]
) -> dict[str, Any]:
    return {
        name: _value(name, field, random, things)
        for name, field in serializer.fields.items()
        if field.required or random.random() < 0.6
    }


def _value(name: str, field: serializers.Field, random: Random, things: dict[str, Any]) -> Any:
    by_name = {
        "student": things["student"].pk,
        "counts": _COUNTS,
        "meter": "4/4",
        "rules": _RULES[: random.randint(0, 2)],
        "kit": {"surfaces": ["snare", "high tom", "floor tom", "hi-hat"]},
        "day": today_in(things["student"].studio).isoformat(),
        "clean_loops": None,
        "sample": random.randint(0, 5),
    }
    if name in by_name:
        return by_name[name]
    if isinstance(field, serializers.Serializer):
        return _object(field, random, things)
    if isinstance(field, EventField):
        return [random.randint(0, 9000), random.choice((38, 42, 45)), random.randint(1, 127)]
    if isinstance(field, serializers.ListField):
        return sorted(_value("", field.child, random, things) for _ in range(random.randint(1, 12)))
    if isinstance(field, serializers.ChoiceField):
        return random.choice(list(field.choices))
    makers: dict[type, Any] = {
        serializers.UUIDField: str(uuid.UUID(int=random.getrandbits(128))),
        serializers.PrimaryKeyRelatedField: things["variation"].pk,
        serializers.BooleanField: random.random() < 0.5,
        serializers.CharField: "A word",
    }
    for kind, value in makers.items():
        if isinstance(field, kind):
            return value
    least, most = getattr(field, "min_value", None), getattr(field, "max_value", None)
    return random.randint(int(least or 1), int(min(most or 100, 300)))


def by_address(forms: Iterable[KnownForm]) -> dict[str, list[KnownForm]]:
    """The forms by the name of the address that they are sent to."""
    found: dict[str, list[KnownForm]] = {}
    for form in forms:
        found.setdefault(form.address, []).append(form)
    return found
