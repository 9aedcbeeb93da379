"""`{% notation rendering %}`: the engraving, or a line on why it is not there yet.

`{% hear fill %}`, `{% hear_bar bar %}` and `{% hear_groove groove %}`: a button that plays it, on
pages with `js/player/hear.js`.
"""

import json
from typing import Any

from django import template

from rhythms.engine import Bar, Fill
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove import Groove
from rhythms.models import Rendering
from rhythms.notation.player import counts_by_beat, fill_json, groove_json
from rhythms.renderings.display import picture_of, rendering_context

register = template.Library()

#: Quarters a minute, where nothing says how fast.
MODERATE = 80


@register.inclusion_tag("rhythms/renderings/rendering.html")
def notation(rendering: Rendering, legend: bool = True, by_address: bool = False) -> dict[str, Any]:
    """Show a rendering, with the key to its surfaces unless `legend=False`.

    One that waits looks again by itself; one that failed says why and can be tried again.
    `by_address` is for lists that are looked at again and again: the first view takes about three
    times the bytes, and each one from the fourth on saves. Elsewhere it stands in the page, which
    compresses what drawings share, where the player lights its notes, and a device keeps it.
    """
    page = rendering_context(rendering, legend)
    return page | {"picture": picture_of(page) if by_address else None}


@register.filter
def by_beat(block: dict[str, Any]) -> list[list[dict[str, Any]]]:
    """What is counted in each beat of a block."""
    return counts_by_beat(block)


@register.inclusion_tag("rhythms/hear.html")
def hear(
    fill: Fill, what: str = "this fill", tempo: int = MODERATE, feel: Feel = STRAIGHT
) -> dict[str, str]:
    """Offer to play the fill alone, once, at `tempo`; `what` says to a screen reader what it is."""
    return {"played": json.dumps(fill_json(fill, feel) | {"tempo": tempo}), "what": what}


@register.inclusion_tag("rhythms/hear.html")
def hear_bar(bar: Bar, what: str = "this bar") -> dict[str, str]:
    """Offer to play the bar as it is learnt: on the snare."""
    return hear(snare_fill(bar), what)


@register.inclusion_tag("rhythms/hear.html")
def hear_groove(groove: Groove, tempo: int = MODERATE, what: str = "this groove") -> dict[str, str]:
    """Offer to play four bars of a groove, the last one leading into a fill where it can."""
    return {"played": json.dumps(groove_json(groove) | {"tempo": tempo}), "what": what}
