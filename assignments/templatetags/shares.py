"""Template filters: parts of a whole, and what is measured with an interval."""

from django import template

from rhythms.engine.comfort.estimate import Estimate

register = template.Library()


@register.filter
def percent(share: float) -> str:
    """`0.834` as `83 %`; what is there is never `0 %`."""
    return f"{max(1, round(100 * share)) if share else 0} %"


@register.filter
def one_place(number: float) -> str:
    """`1.43` as `1.4`."""
    return f"{number:.1f}"


@register.filter
def between(estimate: Estimate) -> str:
    """`1.3 to 1.6`: where it lies, with 95 %."""
    return f"{estimate.low:.1f} to {estimate.high:.1f}"


@register.filter
def in_minutes(seconds: float) -> str:
    """`12 min`; what is shorter is `1 min`."""
    return f"{max(1, round(seconds / 60))} min"
