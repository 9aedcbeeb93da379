"""Do fills lead real players out of what they always play, and are they still fills?

Each player's takes are those of a student who was given nothing. Fills are picked for them on the
bars of `likeness_to_drummers`, and for a stranger on the same bars: how many moves of each are the
eight that the player makes most?
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from rhythms.bench.likeness_cases import CASES, KIT
from rhythms.bench.likeness_meter import Halves, LikenessFigures, LikenessMeter, mean_figures
from rhythms.bench.real_takes import RealTake
from rhythms.engine import Fill, FillSpace, Surface, pick
from rhythms.engine.comfort import PlayedFill, Playing, Zone, comfort_zone
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.engine.kits.surfaces import base, family
from rhythms.engine.prior.human_prior import Prior
from rhythms.human_fills import HumanFill, line_of

TEMPO, FILLS, SETS, COMMONEST = 80, 3, 3, 8
#: Fills of each player that are printed, a letter a stroke.
SHOWN = 10
_LETTERS = dict(
    zip(
        Surface,
        ["S", "H", "M", "F", "x", "R", "b", "C", "p", "n", "w", "k", "o", "f", "x", "x", "S", "t"],
        strict=True,
    )
)
_BRIGHT = ("cymbals", "bells")
_DAY = date(2026, 1, 1)
_COLUMNS = ("own", "stranger", "student", "points", "cymbals", "stays", "bits", "one drum", "made")

Move = tuple[Surface, Surface]


class LedOut(NamedTuple):
    """Fills for a player, the same for a stranger, and how like drummers' the former are."""

    theirs: list[Fill]
    strangers: list[Fill]
    figures: LikenessFigures


def ways_out_section(takes: Sequence[RealTake]) -> Iterator[str]:
    """Lines of a table: each player by all takes, and by half of them against the other half."""
    yield (
        f"Ways out. Shares of the {COMMONEST} moves that a player makes most: of their own, of "
        "fills for a stranger, of fills for them, and the points between; cymbals of hand strokes; "
        "made: fills in which the one thing is changed."
    )
    yield f"{'':<34}" + "".join(f"{name:>10}" for name in _COLUMNS)
    players = list(_players(takes))
    # The prior that draws and judges is learned from several players.
    if len({name for name, _, _, _ in players}) < 2:
        yield "Nobody has takes enough, or nobody else has, to judge by."
        return
    judge = _judge(takes)
    for player, part, zone, own in players:
        yield from _player(f"{player}, {part}", zone, own, judge)


def _players(takes: Sequence[RealTake]) -> Iterator[tuple[str, str, Zone, list[Fill]]]:
    """Each player by all takes, and by half of them beside the fills of the other half."""
    for player in sorted({take.player for take in takes}):
        own = [take for take in takes if take.player == player]
        for part, known, held_back in (("all", own, own), ("half", own[::2], own[1::2])):
            zone = _zone_of(known)
            if zone is not None:
                yield player, part, zone, _fills_of(held_back)


def _judge(takes: Sequence[RealTake]) -> Halves:
    lines = ((take, line_of(take.file)) for take in takes)
    fills = [HumanFill(t.player, t.file.path.name, line) for t, line in lines if line.onsets]
    return Halves.of(fills, 0)


def _fills_of(takes: Sequence[RealTake]) -> list[Fill]:
    return [fill for take in takes for fill in take.analysis.fills]


def _zone_of(takes: Sequence[RealTake]) -> Zone | None:
    plays = (
        PlayedFill(fill, _DAY, float(fill.bar.meter.length), str(number))
        for number, take in enumerate(takes)
        for fill in take.analysis.fills
    )
    return comfort_zone(Playing.of(plays), (), KIT)


def _player(name: str, zone: Zone, own: Sequence[Fill], judge: Halves) -> Iterator[str]:
    wish = WayOutWish.of_zone(zone)
    found = _led_out(zone, wish, judge)
    commonest = {move for move, _ in moves_of(own).most_common(COMMONEST)}
    shares = [share_of(commonest, fills) for fills in (own, found.strangers, found.theirs)]
    figures, theirs = found.figures, found.theirs
    made = sum(wish.change.is_made_in(fill) for fill in theirs) / len(theirs)
    cells = [f"{share:.0%}" for share in shares]
    cells += [f"{100 * (shares[1] - shares[2]):.0f}", f"{bright(theirs):.0%}"]
    cells += [f"{figures.stay:.0%}", f"{figures.bits:.2f}", f"{figures.one_surface:.0%}"]
    yield f"{name:<34}" + "".join(f"{cell:>10}" for cell in (*cells, f"{made:.0%}"))
    yield f"  {wish.change.words()}"
    for fill in theirs[:: max(1, len(theirs) // SHOWN)][:SHOWN]:
        yield f"  {' '.join(_LETTERS[stroke.surface] for stroke in fill.strokes)}"


def _led_out(zone: Zone, wish: WayOutWish, judge: Halves) -> LedOut:
    theirs, strangers, figures = [], [], []
    for case in CASES:
        space = case.space()
        meter = LikenessMeter(space, judge)
        for seed in range(SETS):
            picked = _picked(space, zone.favourites, wish, judge.prior, seed)
            figures.append(meter.figures(picked))
            theirs += picked
            strangers += _picked(space, (), None, judge.prior, seed)
    return LedOut(theirs, strangers, mean_figures(figures))


def _picked(
    space: FillSpace, known: Sequence[Fill], wish: WayOutWish | None, prior: Prior, seed: int
) -> list[Fill]:
    rarer = wish.rarer_steps(space.setting.bar) if wish else None
    picks = pick(space, FILLS, known, TEMPO, seed, prior=prior, rarer=rarer)
    return [one.fill for one in picks]


def _by_hand(fill: Fill) -> list[Surface]:
    return [base(stroke.surface) for stroke in fill.strokes if not stroke.by_foot]


def moves_of(fills: Sequence[Fill]) -> Counter[Move]:
    """How often each move of the hands is made."""
    return Counter(move for fill in fills for move in pairwise(_by_hand(fill)))


def share_of(moves: set[Move], fills: Sequence[Fill]) -> float:
    """The part of all moves of the hands that these are."""
    made = moves_of(fills)
    return sum(made[move] for move in moves) / max(1, made.total())


def bright(fills: Sequence[Fill]) -> float:
    """The part of the hands' strokes that is on cymbals and bells."""
    struck = [surface for fill in fills for surface in _by_hand(fill)]
    return sum(family(surface) in _BRIGHT for surface in struck) / max(1, len(struck))
