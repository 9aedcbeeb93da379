"""The one thing to change next in how somebody plays; all else may stay as it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from rhythms.engine.bars.bar import Bar, Sounded
from rhythms.engine.comfort.traits import Trait, traits
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import FAMILIES, FEET, Surface, base, called

Step = tuple[Surface | None, Surface]
#: What a step weighs that is the thing to be changed: on some notes, and on all of them, where a
#: drum is to be struck less and not to be left altogether.
CHANGED, LESS = 0.03, 0.3
_TOMS = FAMILIES["toms"]
_BY_HAND = tuple(surface for surface in Surface if surface not in FEET and base(surface) == surface)
_BRIGHT = "cymbals and bells"
_NAMES: dict[str, tuple[Surface, ...]] = {
    **{called(surface): (surface,) for surface in _BY_HAND},
    "toms": _TOMS,
    _BRIGHT: (*FAMILIES["cymbals"], *FAMILIES["bells"]),
}
_NAMED = re.compile("|".join(sorted(map(re.escape, _NAMES), key=len, reverse=True)))
_BEAT = re.compile(r"beat (\d+)")

#: What a kind of trait is changed to, as a teacher says it to somebody; `{where}` is ` from beat 3`
#: or ` into beat 3`, `{drums}` what is named. Kinds that are about the rhythm are none: it is kept.
#: `OTHER_MOVES` and `OTHER_DRUMS` go without a trait.
OTHER_MOVES, OTHER_DRUMS = "other moves", "other drums"
WORDS = {
    "end": "{whose} ending, elsewhere",
    "start": "{whose} beginning, elsewhere",
    "walk down": "other ways round the kit{where}",
    "walk up": "other ways round the kit{where}",
    "direction": "other ways round the kit{where}",
    "anchor": "{whose} rhythm, other drums on the beats",
    "move": "another way{where}",
    "colours": "{whose} rhythm, other drums than {drums}",
    "surfaces": "{whose} rhythm, less on {the}{drums}",
    "use": "{whose} rhythm, less on {the}{drums}",
    OTHER_MOVES: "{whose} rhythm, other ways than {drums}",
    OTHER_DRUMS: "{whose} rhythm, less on {the}{drums}",
}
_EVERYWHERE = ("colours", "surfaces", "use")
_ROUND_THE_KIT = ("walk down", "walk up", "direction")
_LESS_ON = ("surfaces", OTHER_DRUMS)
#: What has less of their strokes is a colour of theirs: without it they only fall back on the rest.
LEAST = 0.2
#: It is less from this part on of what they strike.
CLEARLY_LESS = 2 / 3


@dataclass(frozen=True)
class OneChange:
    """The trait of somebody's playing that is to be another one, and the surfaces it is about, with
    the ``share`` of their strokes that is on these.
    """

    trait: Trait
    surfaces: tuple[Surface, ...] = ()
    share: float = 1.0

    @classmethod
    def of(
        cls,
        standing_out: Iterable[Trait],
        shares: Mapping[Step, float],
        counted: Mapping[Step, float] | None = None,
    ) -> OneChange:
        """The first of what stands out that can be changed in where the strokes go.

        Without one it is the move from drum to drum that counts most among those that they make,
        and for who never moves the drum: ``shares`` are those of their moves, ``counted`` by how
        much more than others they make them.
        """
        struck = _struck(shares)
        for trait in standing_out:
            if trait.kind in WORDS:
                of_each = (_NAMES[name] for name in _NAMED.findall(trait.words))
                surfaces = tuple(surface for some in of_each for surface in some)
                share = sum(struck.get(one, 0.0) for one in surfaces) if struck else 1.0
                if trait.kind in _EVERYWHERE and share < LEAST:
                    continue
                if surfaces or trait.kind in _ROUND_THE_KIT:
                    return cls(trait, surfaces, share)
        return cls._without_a_trait(struck, counted or shares)

    @classmethod
    def _without_a_trait(
        cls, struck: Mapping[Surface, float], counted: Mapping[Step, float]
    ) -> OneChange:
        moving = {step: much for step, much in counted.items() if step[0] not in (None, step[1])}
        if moving:
            pair = tuple(one for one in max(moving, key=moving.__getitem__) if one)
            return cls(Trait(OTHER_MOVES, " to ".join(map(called, pair))), pair)
        most = max(struck, key=struck.__getitem__, default=Surface.SNARE)
        return cls(Trait(OTHER_DRUMS, called(most)), (most,), struck.get(most, 1.0))

    def words(self, whose: str = "your") -> str:
        """``your ending, elsewhere``."""
        beat, into = _BEAT.search(self.trait.words), self.trait.kind == "move"
        where = f" {'into' if into else 'from'} beat {beat[1]}" if beat else ""
        named = _NAMED.findall(self.trait.words)
        drums = (" to " if self.trait.kind == OTHER_MOVES else " and ").join(named)
        the = "" if drums == _BRIGHT else "the "
        return WORDS[self.trait.kind].format(whose=whose, where=where, the=the, drums=drums)

    def is_made_in(self, fill: Fill) -> bool:
        """Whether a fill is without that trait, or has clearly less of it."""
        struck = [base(s.surface) for s in fill.strokes if not s.by_foot]
        if self.trait.kind == OTHER_MOVES:
            return all(pair != self.surfaces for pair in pairwise(struck))
        if self.trait.kind in _LESS_ON:
            of_the_same = sum(surface in self.surfaces for surface in struck)
            return of_the_same <= CLEARLY_LESS * self.share * len(struck)
        return all(trait != self.trait for trait in traits(fill))

    def steps(self, bar: Bar) -> dict[int, dict[Step, float]]:
        """What the steps weigh that it is made of, by note of a bar, as `RarerSteps` has them."""
        if self.trait.kind == OTHER_DRUMS:
            return {}  # rarer moves do that
        factor = LESS if self.trait.kind in _EVERYWHERE else CHANGED
        rare = dict.fromkeys(self._steps(), factor)
        return {note.index: rare for note in self._notes(bar)}

    def _steps(self) -> Iterator[Step]:
        kind = self.trait.kind
        if kind in ("move", OTHER_MOVES) and len(self.surfaces) == 2:
            yield self.surfaces[0], self.surfaces[1]
        elif kind in _ROUND_THE_KIT:
            order = _TOMS[::-1] if kind == "walk up" else _TOMS
            yield from pairwise(order)
            yield order[0], order[-1]
        else:
            for surface in self.surfaces:
                yield from ((before, surface) for before in (None, *_BY_HAND))

    def _notes(self, bar: Bar) -> list[Sounded]:
        sounded, kind = list(bar.sounded), self.trait.kind
        if kind == "end":
            return sounded[-1:]
        if kind == "start":
            return sounded[:1]
        found = _BEAT.search(self.trait.words)
        beat = int(found[1]) if found else 0
        if kind in ("anchor", "move"):
            on_beats = [note for note in sounded if bar.meter.is_on_beat(note.onset)]
            return [n for n in on_beats if not beat or bar.meter.beat_at(n.onset).number == beat]
        return [note for note in sounded if bar.meter.beat_at(note.onset).number >= beat]


def _struck(shares: Mapping[Step, float]) -> dict[Surface, float]:
    """The share of each surface in what the moves lead to."""
    struck: dict[Surface, float] = {}
    total = sum(shares.values())
    for (_, surface), share in shares.items():
        struck[surface] = struck.get(surface, 0.0) + share / total
    return struck
