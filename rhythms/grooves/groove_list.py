"""All grooves that a studio has to choose from: its own, then those of the library."""

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from django.http import QueryDict
from django.urls import reverse
from django.utils.text import slugify

from rhythms.engine import Fill, Surface
from rhythms.engine.playback.groove_fill import groove_fills
from rhythms.engine.playback.groove_library import patterns
from rhythms.engine.playback.groove_pattern import GroovePattern, Lines
from rhythms.grooves.groove_draft import IN_ROWS
from rhythms.models import Rendering, StudioGroove
from rhythms.renderings.rendering_store import renderings_by_feel
from studio.models import Studio
from studio.pagination import is_in

#: Before the pk of one of the studio's own, where a form sends it.
OWN = "own "


@lru_cache(maxsize=1)
def by_slug() -> dict[str, GroovePattern]:
    """The library, each groove by what its address calls it."""
    return {slugify(pattern.name): pattern for pattern in patterns()}


class ListedGroove(NamedTuple):
    """A groove and where it is found; `pk` where it is the studio's own."""

    pattern: GroovePattern
    pk: int | None = None

    @classmethod
    def own(cls, groove: StudioGroove) -> "ListedGroove":
        return cls(groove.pattern, groove.pk)

    @property
    def value(self) -> str:
        """What a form sends for it."""
        return self.pattern.name if self.pk is None else f"{OWN}{self.pk}"

    @property
    def slug(self) -> str:
        return slugify(self.pattern.name)

    @property
    def address(self) -> str:
        """Its own page."""
        if self.pk is None:
            return reverse("rhythms:library-groove", args=[self.slug])
        return reverse("rhythms:groove", args=[self.pk])

    @property
    def copy_address(self) -> str:
        """The editor, with a copy of it."""
        of = f"library={self.slug}" if self.pk is None else f"own={self.pk}"
        return f"{reverse('rhythms:groove-new')}?{of}"

    @property
    def lines(self) -> list[tuple[Surface, str]]:
        """Its drums from the top of the staff down, each as it is counted."""
        return _from_the_top(self.pattern.lines)

    @property
    def setup_lines(self) -> list[tuple[Surface, str]]:
        """What is struck otherwise in the bar that leads into a fill."""
        return _from_the_top(self.pattern.setup)

    @property
    def fills(self) -> tuple[Fill, ...]:
        """What is engraved of it: its bars, and the one that leads into a fill."""
        return groove_fills(self.pattern.groove)


def _from_the_top(lines: Lines) -> list[tuple[Surface, str]]:
    return [(surface, lines[surface]) for surface in IN_ROWS if surface in lines]


class EngravedGroove(NamedTuple):
    """A groove with its engravings: its bars, and the one that leads into a fill if it has one."""

    listed: ListedGroove
    bars: Rendering
    setup: Rendering | None = None


def engraved(listed: Iterable[ListedGroove]) -> list[EngravedGroove]:
    """Each with its engravings, all found in one query."""
    grooves = list(listed)
    fills = [(fill, one.pattern.feel) for one in grooves for fill in one.fills]
    drawn = iter(renderings_by_feel(fills, counts=True))
    return [EngravedGroove(one, *(next(drawn) for _ in one.fills)) for one in grooves]


class Wish(NamedTuple):
    """What the list is narrowed to: words, a style, a meter; "" for all."""

    words: str = ""
    style: str = ""
    meter: str = ""

    @classmethod
    def asked(cls, query: QueryDict, words: str) -> "Wish":
        return cls(words, query.get("style", ""), query.get("meter", ""))

    @property
    def is_narrow(self) -> bool:
        """Whether any of it is said."""
        return any(self)

    def has(self, pattern: GroovePattern) -> bool:
        """Whether a groove is among those that are wanted."""
        meter = str(pattern.meter)
        return (
            self.style in ("", pattern.style)
            and self.meter in ("", meter)
            and is_in(self.words, pattern.name, pattern.style, meter)
        )


def wanted_grooves(studio: Studio, wish: Wish) -> list[ListedGroove]:
    """The studio's own, then the library's, as far as they are wanted."""
    own = map(ListedGroove.own, StudioGroove.objects.kept().filter(studio=studio))
    there_are = (*own, *map(ListedGroove, patterns()))
    return [listed for listed in there_are if wish.has(listed.pattern)]
