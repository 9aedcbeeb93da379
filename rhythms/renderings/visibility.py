"""Who gets to see a rendering: whoever has something that shows it.

Another app says what shows renderings by registering a function, in its `AppConfig.ready`:

    register_check(variations_show)
"""

import re
from collections.abc import Callable
from functools import lru_cache

from django.http import Http404
from django.shortcuts import get_object_or_404

from rhythms.engine import EngineError, Fill
from rhythms.engine.playback.groove_fill import groove_fills
from rhythms.engine.playback.groove_library import library
from rhythms.models import Rendering, StudioGroove
from rhythms.renderings.rendering_key import RenderingKey
from studio.request_types import Request

Check = Callable[[Request, Rendering], bool]
_checks: list[Check] = []
#: Files whose bars may still be on a page that waits for them.
_FILES_LOOKED_AT = 8


def register_check(check: Check) -> Check:
    """Have `check(request, rendering)` asked too; registering twice asks once."""
    if check not in _checks:
        _checks.append(check)
    return check


def may_see(request: Request, rendering: Rendering) -> bool:
    """Whether anything that is theirs shows this rendering."""
    return any(check(request, rendering) for check in _checks)


def seen_rendering(request: Request, key: str) -> Rendering:
    """Return the engraving of this key for whoever may see it, else raise Http404."""
    if not re.fullmatch(RenderingKey.regex, key):
        raise Http404
    found = get_object_or_404(Rendering, pk=key, format="svg")
    if not may_see(request, found):
        raise Http404
    return found


@register_check
def bars_show(request: Request, rendering: Rendering) -> bool:
    """Whether a bar of the teacher's library is shown in it."""
    same = _as_kept(rendering)
    return bool(request.studio and same and request.studio.bars.kept().filter(**same).exists())


@register_check
def files_show(request: Request, rendering: Rendering) -> bool:
    """Whether a file that the teacher just brought has the bar that is shown."""
    same = _as_kept(rendering)
    if request.studio is None or not same:
        return False
    read = request.studio.bar_imports.filter(reading__isnull=False)
    latest = read.values_list("reading", flat=True)[:_FILES_LOOKED_AT]
    measures = (measure for reading in latest if reading for measure in reading["measures"])
    return any(measure["bar"] == same for measure in measures)


@register_check
def grooves_show(request: Request, rendering: Rendering) -> bool:
    """Whether it is a groove of the library, or of the studio that they teach or learn in."""
    fill = _fill_in(rendering)
    studio = request.student.studio if request.student else request.studio
    if fill is None or studio is None:
        return False
    if fill in _of_library():
        return True
    own = StudioGroove.objects.filter(studio=studio, meter=str(fill.bar.meter))
    return any(fill in groove_fills(groove.pattern.groove) for groove in own)


@lru_cache(maxsize=1)
def _of_library() -> frozenset[Fill]:
    return frozenset(fill for groove in library() for fill in groove_fills(groove))


def _fill_in(rendering: Rendering) -> Fill | None:
    """What is shown; nothing where it has no fill."""
    try:
        return rendering.fill
    except EngineError:
        return None


def _as_kept(rendering: Rendering) -> dict[str, str]:
    """Meter and count line of the bar that is shown; nothing where it has none."""
    try:
        bar = rendering.fill.bar
        return {"meter": str(bar.meter), "counts": bar.counts()}
    except EngineError:
        return {}
