"""The text that all practice sheets have in common: how to play, and the cautions."""

from collections.abc import Collection
from typing import TYPE_CHECKING, NamedTuple

from django.template.loader import render_to_string

from rhythms.engine import Bar, Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.playback.stand_ins import landing_in_words
from rhythms.notation.late_import import LateImport
from rhythms.notation.practice_text import groove_before, tempo_unit

if TYPE_CHECKING:
    from lxml import html
else:
    html = LateImport("lxml.html")

TICK = "Tick a box for each day on which you played it."


class Look(NamedTuple):
    """How a sheet is printed: size of paper, and the count line under the notes."""

    paper: str = "a4"
    counts: bool = False

    @property
    def subject(self) -> str:
        """Both, so that a sheet printed otherwise does not take the other one's place."""
        return f"{self.paper}{' with counts' if self.counts else ''}"


def how_to_play(
    tempo: int,
    block_bars: int,
    bar: Bar,
    surfaces: Collection[Surface],
    feel: Feel = STRAIGHT,
    *,
    sets_up: bool = False,
) -> str:
    """Tempo, feel and block in a sentence, on a kit with these surfaces; the four times through
    are common practice."""
    groove = groove_before(bar, block_bars, sets_up=sets_up)
    heard = feel.in_meter(bar.meter)
    unit = f" {tempo_unit(bar.meter)}" if bar.meter.in_eighths else ""
    swung = "" if heard.is_straight else f", {heard.in_full}"
    return (
        f"Tempo {tempo}{unit}{swung}. {groove}, then the fill, four times through, "
        f"with {landing_in_words(surfaces)} on one after each fill."
    )


Caution = tuple[str, str]


def cautions(about: str) -> tuple[Caution, ...]:
    """Heading and words of each caution that `cautions.html` has about this."""
    page = html.fragment_fromstring(render_to_string("cautions.html", {"about": about}))
    return tuple(
        (str(heading.text_content()).strip(), str(heading.tail or "").strip())
        for heading in page.iterfind("p/strong")
    )
