"""Who gets to see a rendering: whoever has something that shows it.

Another app says what shows renderings by registering a function, in its `AppConfig.ready`:

    register_check(variations_show)
"""

from collections.abc import Callable

from rhythms.engine import EngineError
from rhythms.models import Rendering
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


def _as_kept(rendering: Rendering) -> dict[str, str]:
    """Meter and count line of the bar that is shown; nothing where it has none."""
    try:
        bar = rendering.fill.bar
        return {"meter": str(bar.meter), "counts": bar.counts()}
    except EngineError:
        return {}
