"""What the three settings of the dial sound like, one fill each, under the rules chosen."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from assignments.models import Assignment
from rhythms.engine import Fill, FillSpace, draw
from rhythms.engine.bars.feel import Feel
from rhythms.engine.errors import EngineError
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.prior.drawing import DIALS
from rhythms.engine.prior.human_prior import Prior

_HELP = {
    Assignment.Dial.CLOSE_TO_HOME: "What drummers play first.",
    Assignment.Dial.A_STEP_OUT: "Less usual, and still a fill.",
    Assignment.Dial.ANYTHING: "As far from home as the rules go.",
}
#: The same examples each time: a setting is compared with the others, not with its last time.
_SEED = "example"
#: Of so many fills the first that can be played at the tempo.
_TRIED = 6


class DialExample(NamedTuple):
    """A setting's radio button, what it means, and a fill to be heard while there is one."""

    radio: Any
    help: str
    fill: Fill | None


def dial_examples(
    radios: Iterable[Any], space: FillSpace | None, tempo: int, prior: Prior, feel: Feel
) -> tuple[DialExample, ...]:
    """Return the settings in order, with fills of `space` playable at `tempo` where it has any."""
    return tuple(
        DialExample(radio, help_text, _example(space, DIALS[dial], tempo, prior, feel))
        for radio, (dial, help_text) in zip(radios, _HELP.items(), strict=True)
    )


def _example(
    space: FillSpace | None, dial: float, tempo: int, prior: Prior, feel: Feel
) -> Fill | None:
    try:
        drawn = draw(space, _TRIED, _SEED, dial, prior) if space else ()
    except EngineError:
        return None  # the sizes beside it say why
    playable = (fill for fill in drawn if space and top_tempo(fill, space.kit, feel) >= tempo)
    return next(playable, drawn[0] if drawn else None)
