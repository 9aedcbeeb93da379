"""How somebody fills a bar when nobody asks for anything in particular: what the demo hides."""

from collections.abc import Callable
from functools import lru_cache
from random import Random

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface, draw
from rhythms.engine.kits.surfaces import FAMILIES

#: Goes through a bar on a kit once.
Style = Callable[[Bar, Kit, Random], Fill]
#: Out of five fills, so many follow a habit; the others are anything.
_FOLLOWED, _OF = 4, 5
#: One of so many fills has something new in it.
_NOW_AND_THEN = 6
#: So many fills of a bar are taken from.
_MANY = 120


def wide(bar: Bar, kit: Kit, random: Random) -> Fill:
    """What a drummer without habits of their own would play."""
    fill = random.choice(_drawn(bar, kit))
    return _on(bar, lambda place: fill.strokes[place].surface)


@lru_cache(maxsize=32)
def _drawn(bar: Bar, kit: Kit) -> tuple[Fill, ...]:
    return draw(FillSpace(bar, RuleSet(()), kit), _MANY, "a demo")


def down_the_toms(bar: Bar, kit: Kit, random: Random) -> Fill:
    """Time on snare and hi-hat, then down the toms from beat 3."""
    start = next((at for at, note in enumerate(bar.sounded) if note.onset >= 2), 0)
    left = len(bar.sounded) - start
    toms = [tom for tom in FAMILIES["toms"] if tom in kit.surfaces]
    turns = sorted(random.sample(range(1, left), len(toms) - 1)) if left > len(toms) else [1, 2]

    def surface(place: int) -> Surface:
        if place < start:
            return random.choice([Surface.SNARE, Surface.HI_HAT, Surface.RIDE])
        return toms[sum(place - start >= turn for turn in turns)]

    return _on(bar, surface)


def only(*surfaces: Surface) -> Style:
    """Never anything but these."""
    return lambda bar, kit, random: _on(bar, lambda place: random.choice(surfaces))


def ending_on(surface: Surface) -> Style:
    """Whatever comes before, this comes last."""

    def style(bar: Bar, kit: Kit, random: Random) -> Fill:
        last, fill = len(bar.sounded) - 1, wide(bar, kit, random)
        return _on(bar, lambda place: surface if place == last else fill.strokes[place].surface)

    return style


def trying(*surfaces: Surface) -> Style:
    """As a drummer without habits would, and now and then the last stroke on what is new."""

    def style(bar: Bar, kit: Kit, random: Random) -> Fill:
        tries = not random.randrange(_NOW_AND_THEN)
        return (ending_on(random.choice(surfaces)) if tries else wide)(bar, kit, random)

    return style


def mostly(style: Style) -> Style:
    """Four times of five like this, otherwise anything."""

    def by_turns(bar: Bar, kit: Kit, random: Random) -> Fill:
        followed = random.randrange(_OF) < _FOLLOWED
        return (style if followed else wide)(bar, kit, random)

    return by_turns


def _on(bar: Bar, surface: Callable[[int], Surface]) -> Fill:
    return Fill(
        bar,
        tuple(
            Stroke(surface(place), dynamic="accent" if note.accent else "normal")
            for place, note in enumerate(bar.sounded)
        ),
    )
