"""Selects of the site: what Django makes of them, in one template."""

from django import forms
from django.forms.renderers import DjangoTemplates

CHOICES = [
    ("", "Choose <one>"),
    ("Teachers & students", [(1, "Mira"), (1001, "“Bo”"), ("a'b\"c", "Quoted")]),
    (None, "Nothing"),
]


def shown(renderer=None):
    widget = forms.Select({"id": "whom", "required": True, "hidden": False}, CHOICES)
    return widget.render("whom", 1001, renderer=renderer or forms.renderers.get_default_renderer())


def test_a_select_reads_as_django_writes_it():
    assert shown().split() == shown(DjangoTemplates()).split()


def test_a_select_of_the_site_takes_one_template_for_all_options():
    template = forms.renderers.get_default_renderer().get_template(forms.Select.template_name)
    assert "select_option" not in template.template.source
