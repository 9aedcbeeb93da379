"""The fill of a measure: what is struck on each note of its bar, with words for what is not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from rhythms.engine import Bar, Fill, Kit
from rhythms.engine.bars.spoken_counts import count_names
from rhythms.engine.kits.surfaces import called
from rhythms.engine.takes.struck_at_once import AtOnce, Caught, at_once
from rhythms.engine.takes.touch_levels import TouchLevels
from rhythms.notation.export.midi import ACCENT_VELOCITY, GHOST_VELOCITY, NORMAL_VELOCITY
from rhythms.notation.reading.raw import Strike

#: As soft as our own ghosts, or more than halfway to our own accents.
TOUCH = TouchLevels(GHOST_VELOCITY, (NORMAL_VELOCITY + ACCENT_VELOCITY) // 2 + 1)
#: Files do not say on which side the player's feet are.
_KIT = Kit.standard()
_LISTED = 4


def struck_fill(bar: Bar, strikes: Iterable[Strike]) -> tuple[Fill | None, tuple[str, ...]]:
    """The bar with its strokes, None where one of them is not told; and what was left out."""
    caught: dict[Fraction, tuple[Caught, ...]] = {}
    for strike in strikes:
        caught[strike.onset] = caught.get(strike.onset, ()) + strike.caught
    onsets = tuple(note.onset for note in bar.sounded)
    if not all(caught.get(onset) for onset in onsets):
        return None, ()
    struck = [at_once(caught[onset], _KIT, TOUCH) for onset in onsets]
    names = dict(zip(onsets, count_names(onsets, bar.meter), strict=True))
    fill = Fill(bar, tuple(one.stroke for one in struck))
    return fill, tuple(_left_out([names[onset] for onset in onsets], struck))


def _left_out(names: Sequence[str], struck: Sequence[AtOnce]) -> Iterator[str]:
    for words, what in (
        ("Left out, as more than two hands strike at once", [one.left_out for one in struck]),
        ("Struck twice at once, written once", [one.twice for one in struck]),
        (
            "Written without its grace note, as the other hand strikes too",
            [one.plain for one in struck],
        ),
    ):
        places = {name: caught for name, caught in zip(names, what, strict=True) if caught}
        if places:
            yield f"{words}: {_listed(places)}."


def _listed(places: Mapping[str, Sequence[Caught]]) -> str:
    shown = [
        f"{' and '.join(called(one.surface) for one in caught)} at {name}"
        for name, caught in list(places.items())[:_LISTED]
    ]
    rest = len(places) - len(shown)
    return ", ".join(shown) + (f" and {rest} more" if rest else "")
