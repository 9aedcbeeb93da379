"""The button that plays what is engraved."""

import html
import json
import re

import pytest
from django.template import Context, Template
from django.urls import reverse

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation.player import fill_json

FILL = snare_fill(Bar.from_counts("1 & 2 3 4"))


def drawn(source: str, **context) -> str:
    return Template("{% load notation %}" + source).render(Context(context))


def brought(page: str) -> dict:
    return json.loads(html.unescape(re.search(r'data-hear="([^"]*)"', page)[1]))


def test_the_button_brings_the_fill_and_its_tempo():
    page = drawn("{% hear fill 'this fill' 92 %}", fill=FILL)
    assert brought(page) == fill_json(FILL) | {"tempo": 92}


def test_a_bar_is_heard_on_the_snare():
    page = drawn("{% hear_bar bar %}", bar=FILL.bar)
    assert brought(page) == fill_json(FILL) | {"tempo": 80}


def test_a_screen_reader_hears_what_the_button_plays():
    page = drawn("{% hear fill 'fill 3' %}", fill=FILL)
    assert re.sub("<[^>]*>", "", page).strip() == "Hear fill 3"


@pytest.mark.django_db
def test_a_bar_can_be_heard_while_it_is_typed(teacher_client):
    sent = {"meter": "4/4", "counts": "1 & 2 3 4"}
    page = teacher_client.post(reverse("rhythms:bar-preview"), sent).content.decode()
    assert brought(page) == fill_json(FILL) | {"tempo": 80}
