"""What is picked for a student, and what speaks for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Fill
from rhythms.engine.fills.hands import TAUGHT, StickingStyle, off_the_grid
from rhythms.engine.fills.playability import Effort, effort, top_tempo
from rhythms.engine.fills.variety import novelty
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.picking.candidates import Candidates
from rhythms.engine.picking.choice import Ended, PickChoice
from rhythms.engine.picking.ease import Held, Holding
from rhythms.engine.picking.pick_space import pick_space
from rhythms.engine.prior.drawing import A_STEP_OUT
from rhythms.engine.prior.human_prior import Prior, human_prior
from rhythms.engine.prior.rarer_steps import RarerSteps
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.space.moves import Move, observed_moves, surface_pairs


@dataclass(frozen=True)
class Picked:
    """A fill and what speaks for it.

    ``novelty`` is 1 less the greatest likeness to what the student knows; ``new_moves`` are
    the moves between surfaces that the history lacks; ``effort`` is that at the tempo asked;
    ``off_grid`` are the notes whose hand leaves the grid, since the move would not fit there.
    ``strain`` is what it asks of a student against the most that they hold (1: as much as that);
    None of one who holds nothing yet.
    """

    fill: Fill
    novelty: float
    effort: Effort
    top_tempo: float
    new_moves: tuple[Move, ...]
    off_grid: tuple[int, ...] = ()
    strain: float | None = None

    @property
    def ease(self) -> float:
        """Less is easier: for the student where it is known what they hold, else at the tempo."""
        return self.effort.total if self.strain is None else self.strain


class Picks(tuple[Picked, ...]):
    """Picked fills, easier ones first, and why there are no more of them."""

    ended: Ended

    def __new__(cls, picked: Iterable[Picked], ended: Ended = Ended.ENOUGH) -> Picks:
        """Picks that ``ended`` so."""
        picks = super().__new__(cls, picked)
        picks.ended = ended
        return picks


def pick(  # noqa: PLR0913 - each is a wish of its own
    space: FillSpace,
    n: int,
    history: Sequence[Fill] = (),
    tempo: float = 60.0,
    seed: int | str = 0,
    dial: float = A_STEP_OUT,
    prior: Prior | None = None,
    held: Sequence[Held] = (),
    feel: Feel = STRAIGHT,
    rarer: RarerSteps | None = None,
) -> Picks:
    """Up to ``n`` fills, playable at ``tempo`` quarters a minute by ``feel``, easier ones first.

    One after the other, the fill that is least like the known and the picked ones together is
    taken, out of fills drawn as drummers would play them (``dial`` as in `draw`), some of them
    with a leaning away from all of these; none is less plausible than nineteen of twenty fills
    of drummers under these rules, as long as there are others. Then each pick is tried again
    with the others in place. Summed likeness rather than the greatest one, since it is what the
    effective number of fills falls with. ``history`` starts with what matters most; ``held`` is
    what the student holds, against which a fill is easy; ``rarer`` steps are taken less often.
    The same arguments give the same picks.
    Fewer than ``n`` only where ``ended`` says why.
    """
    kept = pick_space(space, prior or human_prior(), tempo, feel)
    if kept is None:
        return Picks((), Ended.NONE_LEFT)
    choice = PickChoice(Candidates(kept, dial, seed, history, rarer), history)
    taught = StickingStyle.AS_TAUGHT
    picked = [
        appraise(fill, space.kit, history, tempo, taught, held, feel) for fill in choice.make(n)
    ]
    return Picks(sorted(picked, key=lambda one: one.ease), choice.ended)


def appraise(  # noqa: PLR0913 - each is a wish of its own
    fill: Fill,
    kit: Kit,
    history: Sequence[Fill],
    tempo: float,
    sticking: StickingStyle = StickingStyle.AS_TAUGHT,
    held: Sequence[Held] = (),
    feel: Feel = STRAIGHT,
) -> Picked:
    """What speaks for a fill, for a student who knows ``history``, with the hands printed.

    Where none are, those of least effort count.
    """
    played = Held(fill, tempo, feel).played(kit, sticking)
    known_moves = {pair for known in history for pair in surface_pairs(known)}
    new = dict.fromkeys(
        move
        for move in observed_moves([fill])
        if move.origin != move.target and (move.origin, move.target) not in known_moves
    )
    asked, holding = effort(played, kit, tempo, feel), Holding.of(tuple(held), kit, sticking)
    return Picked(
        fill,
        novelty(fill, history),
        asked,
        top_tempo(played, kit, feel),
        tuple(new),
        off_the_grid(fill, played, kit, sticking) if sticking in TAUGHT else (),
        holding.strain(played, asked, held) if holding else None,
    )
