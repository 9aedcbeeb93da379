"""Words of a line of Today."""

from django import template

from assignments import text
from assignments.today.today import TodayFill

register = template.Library()


@register.filter
def what_to_play(line: TodayFill) -> str:
    """`4 times at 88`."""
    return f"{text.times(line.times)} at {line.main.tempo}"
