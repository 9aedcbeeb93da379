"""How often the interval of the number of different fills holds the truth, and how far it is off.

Invented students draw from fills with chances that are known, so that the truth is computed; real
players are held against all that they played.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from math import log
from statistics import mean

import numpy as np
from numpy.typing import NDArray

from rhythms.bench.real_takes import RealTake
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, draw
from rhythms.engine.comfort.playing import FEWEST, PlayedFill, Playing
from rhythms.engine.comfort.variety_estimate import Estimate, variety
from rhythms.engine.fills.likeness import likeness_table
from rhythms.engine.fills.variety import effective_number

#: Of so many takes; how evenly students play their fills (Dirichlet); fills and students.
TAKES = (8, 10, 20, 40, 80)
EVENNESS = {"narrow": 0.1, "middling": 0.5, "even": 2.0}
FILLS, STUDENTS = 30, 60
#: Draws of so many takes of a real player's; near is within this part of the number of all.
DRAWS, NEAR = 20, 0.1

_DAY = date(2026, 9, 7)
_BAR = Bar.from_counts("1 & 2 e & a 3 & 4 e & a")


def variety_section(takes: Sequence[RealTake]) -> Iterator[str]:
    """The lines of both: invented students, then each player."""
    yield f"Number of different fills: intervals that hold the truth, of {STUDENTS} students each"
    yield _line("fills of", "takes", *EVENNESS)
    space = FillSpace(_BAR, RuleSet(()), Kit.standard())
    sources = {
        "the prior": draw(space, FILLS, "students"),
        "anything": space.sample(FILLS, seed=5),
    }
    for source, fills in sources.items():
        for number in TAKES:
            yield _line(source, number, *(_cover(fills, one, number) for one in EVENNESS.values()))
    yield f"Within {NEAR:.0%} of the number in all takes of a player, of {DRAWS} draws"
    for player in sorted({take.player for take in takes}):
        played = [take.analysis.fills for take in takes if take.player == player]
        yield from _of_player(player, [fills for fills in played if fills])


def _cover(fills: Sequence[Fill], evenness: float, takes: int) -> str:
    """How many intervals hold the truth, and the mean error."""
    plain = [fill.without_hands() for fill in fills]
    alike, random = likeness_table(plain), np.random.default_rng([takes, int(10 * evenness)])
    held, off = 0, []
    for _ in range(STUDENTS):
        found, truth = _student(plain, alike, random.dirichlet([evenness] * FILLS), takes, random)
        held += found.low <= truth <= found.high
        off.append(log(found.value / truth))
    return f"{held} ({mean(off):+.1%})"


def _student(
    fills: Sequence[Fill],
    alike: NDArray[np.float64],
    chances: NDArray[np.float64],
    takes: int,
    random: np.random.Generator,
) -> tuple[Estimate, float]:
    drawn = random.choice(len(fills), takes, p=chances)
    return _number([[fills[at]] for at in drawn]), effective_number(chances.tolist(), alike)


def _of_player(player: str, takes: Sequence[Sequence[Fill]]) -> Iterator[str]:
    if len(takes) < FEWEST:
        yield f"  {player}: too few to say"
        return
    whole, random = _number(takes), np.random.default_rng(0)
    yield f"  {player}: {_said(whole)} in {len(takes)} takes"
    for number in (one for one in TAKES if one < len(takes)):
        draws = [random.choice(len(takes), number, replace=False) for _ in range(DRAWS)]
        found = [_number([takes[at] for at in drawn]) for drawn in draws]
        near = sum(abs(one.value / whole.value - 1) <= NEAR for one in found)
        held = sum(one.low <= whole.value <= one.high for one in found)
        yield f"    {number:>3} takes: {near} near, {held} intervals hold it"


def _number(takes: Iterable[Sequence[Fill]]) -> Estimate:
    found = variety(
        Playing.of(
            PlayedFill(fill, _DAY, 1.0, str(number))
            for number, fills in enumerate(takes)
            for fill in fills
        )
    )
    assert found is not None  # noqa: S101 - as many takes as that say something
    return found


def _said(one: Estimate) -> str:
    return f"{one.value:.2f} ({one.low:.2f} to {one.high:.2f})"


def _line(*cells: object) -> str:
    return "".join(f"{cell!s:<14}" for cell in cells).rstrip()
