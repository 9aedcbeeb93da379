"""A player who goes on by habit: a Markov chain from surface to surface.

For studying what helps a player out of a habit, and for filling an invented studio.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random

from rhythms.engine.bars.bar import Bar
from rhythms.engine.fills.fill import Fill, Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface

#: What a move weighs that is no habit.
OTHERWISE = 1.0
#: A move from one surface, or from ``None`` to the surface that a fill begins on.
Step = tuple[Surface | None, Surface]


class Chain:
    """The next surface is chosen with chances in proportion to weights of moves.

    ``weights`` holds those of habits; every other move on the hands' surfaces of ``kit``
    weighs ``OTHERWISE``. Habits that ask for other surfaces are left out.
    """

    def __init__(self, kit: Kit, weights: Mapping[Step, float]) -> None:
        self.kit = kit
        surfaces = kit.hand_surfaces
        self._weights = {
            origin: [weights.get((origin, target), OTHERWISE) for target in surfaces]
            for origin in (None, *surfaces)
        }

    def play(self, bar: Bar, random: Random) -> Fill:
        """Go through a bar once."""
        at: Surface | None = None
        strokes = []
        for note in bar.sounded:
            (at,) = random.choices(self.kit.hand_surfaces, self._weights[at])
            strokes.append(Stroke(at, dynamic="accent" if note.accent else "normal"))
        return Fill(bar, tuple(strokes))

    def learn(self, fills: Sequence[Fill], by: float) -> None:
        """Make every move of these fills weigh ``by`` more, each time that it comes."""
        places = {surface: place for place, surface in enumerate(self.kit.hand_surfaces)}
        for fill in fills:
            at: Surface | None = None
            for stroke in fill.strokes:
                if stroke.surface in places:
                    self._weights[at][places[stroke.surface]] += by
                    at = stroke.surface
