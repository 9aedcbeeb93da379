"""Choosing fills that take a student out of what they know, and saying why."""

from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from assignments import text
from rhythms.engine import Fill, FillSpace
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.spoken_counts import place_names
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.engine.fills.playability import fits_as_taught
from rhythms.engine.kits.surfaces import base, called
from rhythms.engine.picking import Ended, Held, Picked, pick
from rhythms.engine.prior.drawing import A_STEP_OUT
from rhythms.engine.prior.human_prior import Prior
from rhythms.engine.space.moves import Move

#: The tempo of a choice while none is given.
SLOWEST = 30
#: From this share of its top tempo on, a fill is hard; from the lower one, it takes work.
_HARD, _WORK = 0.85, 0.6
#: Up to this share of the most that the student holds it is less than that, up to the other one
#: about as much.
_LESS, _AS_MUCH = 0.9, 1.15
_MOST_MOVES = 2
#: What is less new than this is close: where eighths stay on the snare, a fill drawn at random has
#: a novelty of about 0.32 among two dozen known ones.
_FAR = 0.3
_PARTS = {
    "hand_rate": "fast hands",
    "travel": "long ways",
    "doubles": "doubles across drums",
    "crossings": "crossed hands",
}


class PickContext(NamedTuple):
    """Whom fills are chosen for: what they know, the newest first, at which tempo they play, and
    how far out they are led: the power of the weights of what drummers play, as `prior` has it
    (without one, as in the engine); what they hold at which tempo; the feel they play in; and how
    fills lead out of their comfort zone, where that is asked for.
    """

    known: Sequence[Fill] = ()
    tempo: int = SLOWEST
    dial: float = A_STEP_OUT
    prior: Prior | None = None
    held: Sequence[Held] = ()
    feel: Feel = STRAIGHT
    wish: WayOutWish | None = None


class PickedRanks(NamedTuple):
    """The numbers of fills, and why there are no more."""

    ranks: tuple[int, ...]
    ended: Ended = Ended.ENOUGH


NOBODY = PickContext()


def pick_ranks(
    space: FillSpace,
    n: int,
    player: PickContext,
    seed: int | str,
    keep: Sequence[int] = (),
    leave_out: Collection[int] = (),
) -> PickedRanks:
    """Return the numbers of `n` different fills: those to `keep`, then picked ones.

    Picked fills are playable at the tempo, far from the known ones, from those kept and from
    each other, easier ones first; none of `leave_out` is among them. The same arguments give
    the same choice.
    """
    kept, left_out = ([space.fill(rank) for rank in ranks] for ranks in (keep, leave_out))
    history = [*kept, *player.known, *left_out]
    rarer = player.wish.rarer_steps(space.setting.bar) if player.wish else None
    picked = pick(
        space,
        n - len(keep),
        history,
        player.tempo,
        seed,
        player.dial,
        player.prior,
        player.held,
        player.feel,
        rarer,
    )
    return PickedRanks((*keep, *(space.rank(one.fill) for one in picked)), picked.ended)


def playable_ranks(
    space: FillSpace, n: int, player: PickContext, keep: Sequence[int], others: Iterable[int]
) -> PickedRanks:
    """Return `n` numbers: those to `keep`, then the first of the `others` that can be played."""
    found = list(keep)
    for rank in others:
        if len(found) >= n:
            break
        if rank in found:
            continue
        if fits_as_taught(space.fill(rank), space.kit, player.tempo, player.feel):
            found.append(rank)
    return PickedRanks(tuple(found), Ended.ENOUGH if len(found) >= n else Ended.NONE_LEFT)


def reason(
    one: Picked,
    tempo: int,
    *,
    first: bool,
    otherwise: str = "",
    wish: WayOutWish | None = None,
) -> str:
    """Return why a fill was chosen: `New moves: ride to floor tom. Playable to 126.`

    `first` where the student has no fills yet, and so nothing to be compared with; `otherwise` says
    how they have its strokes already, where they do. With a `wish` the one thing that it changes
    comes first, where it does: `Their ending, elsewhere.`
    """
    new = otherwise or _what_is_new(one, first)
    changed = wish.says_of(one.fill) if wish and not otherwise else ""
    said = (changed, new, playable(one.top_tempo, tempo))
    return " ".join(part for part in said if part)


def playable(top_tempo: float, tempo: int) -> str:
    """Return `Playable to 126.`, or that the tempo asked for is beyond it."""
    if top_tempo < tempo:
        return f"Playable to {int(top_tempo)} only, slower than {tempo}."
    return f"Playable to {int(top_tempo)}."


def effort_in_words(one: Picked, tempo: int) -> str:
    """Return `easy at 80`, `some work at 80, mostly long ways`, `hard at 80, …`.

    Where it is known what the student holds: `easy at 80; easier than so far`.
    """
    return _at_the_tempo(one, tempo) + _so_far(one.strain)


def _so_far(strain: float | None) -> str:
    if strain is None:
        return ""
    if strain <= _LESS:
        return "; easier than so far"
    return "; as hard as so far" if strain <= _AS_MUCH else "; harder than so far"


def _at_the_tempo(one: Picked, tempo: int) -> str:
    share = tempo / one.top_tempo
    if share < _WORK:
        return f"easy at {tempo}"
    parts = {name: getattr(one.effort, name) for name in _PARTS}
    most = max(parts, key=parts.__getitem__)
    return f"{'hard' if share > _HARD else 'some work'} at {tempo}, mostly {_PARTS[most]}"


def hands_in_words(one: Picked) -> str:
    """Return `Hands leave the count on 2 e and 3.`, for whoever checks the sticking; mostly ""."""
    bar = one.fill.bar
    counts = place_names(tuple(note.onset for note in bar.sounded), bar.meter)
    off = [counts[note] or f"note {note + 1}" for note in one.off_grid]
    return f"Hands leave the count on {text.listed(off)}." if off else ""


def _what_is_new(one: Picked, first: bool) -> str:
    if first:
        return ""
    if one.new_moves:
        moves = list(dict.fromkeys(_move_text(move) for move in one.new_moves))[:_MOST_MOVES]
        more = "" if len(moves) == len(one.new_moves) else " and more"
        return f"New moves: {text.listed(moves) if not more else ', '.join(moves)}{more}."
    surfaces = {base(each) for stroke in one.fill.strokes for each in stroke.surfaces}
    if len(surfaces) == 1:
        return f"Stays on the {called(surfaces.pop())}."
    return "Known moves in a new order." if one.novelty > _FAR else "Close to what they know."


def _move_text(move: Move) -> str:
    return f"{called(move.origin)} to {called(move.target)}"
