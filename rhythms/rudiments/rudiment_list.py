"""The 40 rudiments as their page shows them, and one of them as a bar of the library."""

from dataclasses import dataclass
from functools import cache
from urllib.parse import urlencode

from django.urls import reverse

from rhythms.engine import EngineError, Fill
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.rudiments.overlays import OVERLAYS
from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import RUDIMENT_FAMILIES, RUDIMENTS, Rudiment
from rhythms.models import Rendering, SourceBar
from rhythms.models.named import free_name
from rhythms.renderings.rendering_store import renderings_for
from studio.models import Studio
from studio.request_types import Request

#: The notes that the method lays a rudiment over.
LAID_OVER = "16th"
#: Families of which the rhythms are the least sure.
_FROM_MEMORY = ("flam", "drag")


@dataclass(frozen=True)
class RudimentItem:
    """One rudiment, led by one hand; `letters` has both leads."""

    rudiment: Rudiment
    fill: Fill
    rendering: Rendering

    @property
    def letters(self) -> tuple[str, str]:
        """One cycle by each lead; accents as in a count line, behind the letter."""
        right, left = self.rudiment.both_leads
        return right.replace("*", ">"), left.replace("*", ">")

    @property
    def may_be_laid(self) -> bool:
        """Whether it goes over any notes."""
        return self.rudiment.said in OVERLAYS

    @property
    def rule_set_address(self) -> str:
        """Where a rule set with it begins: on the 16ths, or on all notes of its own bar."""
        on = {"on": LAID_OVER} if self.may_be_laid else {}
        asked = urlencode({"rudiment": self.rudiment.said} | on)
        return f"{reverse('rhythms:rule-set-new')}?{asked}"


@dataclass(frozen=True)
class RudimentFamily:
    """Rudiments under their heading."""

    slug: str
    title: str
    from_memory: bool
    items: tuple[RudimentItem, ...]


def rudiment_families(lead: str) -> list[RudimentFamily]:
    """All of them, led by `lead`, in the order of the sheet; their engravings in one query."""
    fills = [rudiment_fill(rudiment, lead) for rudiment in RUDIMENTS]
    together = zip(RUDIMENTS, fills, renderings_for(fills), strict=True)
    items = [RudimentItem(*one) for one in together]
    return [
        RudimentFamily(
            family.replace("/", "-"),
            title,
            family in _FROM_MEMORY,
            tuple(item for item in items if item.rudiment.family == family),
        )
        for family, title in RUDIMENT_FAMILIES.items()
    ]


def take_as_bar(studio: Studio, rudiment: Rudiment) -> tuple[SourceBar, bool]:
    """Its bar among those of the studio, and whether it is new there."""
    bar = rudiment_fill(rudiment).bar
    written = {"meter": str(bar.meter), "counts": bar.counts()}
    kept = list(studio.bars.kept())
    for one in kept:
        if one.name.startswith(rudiment.name) and (one.meter, one.counts) == (*written.values(),):
            return one, False
    name, taken = rudiment.name, {one.name.casefold() for one in kept}
    if name.casefold() in taken:
        name = free_name(name, taken)
    reference = f"Rudiment {rudiment.number} of 40"
    return studio.bars.create(name=name, reference=reference, **written), True


def rudiments_show(request: Request, rendering: Rendering) -> bool:
    """Whether it is the engraving of a rudiment: whoever is signed in may see those."""
    try:
        is_one = rendering.fill in _fills()
    except EngineError:
        return False
    return is_one and bool(request.studio or request.student)


@cache
def _fills() -> frozenset[Fill]:
    return frozenset(rudiment_fill(rudiment, lead) for rudiment in RUDIMENTS for lead in HANDS)
