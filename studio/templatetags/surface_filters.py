"""Drums and cymbals on pages, as drummers call them."""

from collections.abc import Iterable

from django import template

from studio.surface_names import called as called_by_drummers

register = template.Library()


@register.filter
def called(surface: str) -> str:
    """What drummers call it."""
    return called_by_drummers(surface)


@register.filter
def all_called(surfaces: Iterable[str]) -> str:
    """The names of several, with commas between them."""
    return ", ".join(map(called_by_drummers, surfaces))
