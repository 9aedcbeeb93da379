"""How somebody fills a bar when nobody asks for anything in particular: what the demo hides."""

from collections.abc import Callable
from random import Random

from rhythms.engine import Bar, Fill, Kit, Stroke, Surface
from rhythms.engine.kits.surfaces import FAMILIES

#: Goes through a bar on a kit once.
Style = Callable[[Bar, Kit, Random], Fill]
#: Out of five fills, so many follow a habit; the others are anything.
_FOLLOWED, _OF = 4, 5


def wide(bar: Bar, kit: Kit, random: Random) -> Fill:
    """Anything that the hands may strike, at any time."""
    return _on(bar, lambda place: random.choice(kit.hand_surfaces))


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
        last = len(bar.sounded) - 1
        return _on(
            bar, lambda place: surface if place == last else random.choice(kit.hand_surfaces)
        )

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
