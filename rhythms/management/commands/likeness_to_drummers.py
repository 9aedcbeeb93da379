"""`manage.py likeness_to_drummers FOLDER`: are drawn and picked fills what drummers would play?"""

from argparse import ArgumentParser
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from django.core.management.base import BaseCommand, CommandError

from rhythms.bench.likeness_cases import CASES
from rhythms.bench.likeness_meter import (
    Halves,
    LikenessFigures,
    LikenessMeter,
    mean_figures,
)
from rhythms.bench.line_judge import area, features, space_of_rhythm, surfaces
from rhythms.engine import Fill, FillSpace, draw, pick
from rhythms.engine.prior.drawing import CLOSE_TO_HOME, DIALS
from rhythms.engine.prior.human_prior import Prior
from rhythms.engine.prior.played_line import Line
from rhythms.human_fills import FolderError, human_fills

TEMPO, FILLS, KNOWN = 80, 8, 12
#: Columns: figures, how they are written.
_COLUMNS = (
    ("bits a stroke", "bits", "{:.2f}"),
    ("cymbals, bells", "bright", "{:.0%}"),
    ("stays", "stay", "{:.0%}"),
    ("one surface", "one_surface", "{:.0%}"),
    ("3 crashes", "crashes", "{:.0%}"),
    ("4 bells", "bells", "{:.0%}"),
    ("apart", "apart", "{:.2f}"),
    ("from known", "from_known", "{:.2f}"),
    ("implausible", "implausible", "{:.0%}"),
    ("given of 8", "given", "{:.1f}"),
)
_WIDTH = 34
Way = Callable[[FillSpace, Sequence[Fill], str], Sequence[Fill]]


class Command(BaseCommand):
    help = (
        "Compare drawn and picked fills with those of drummers that the prior did not learn from, "
        "and let a judge tell them apart."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="MIDI files of fills, with their info.csv")
        parser.add_argument("--parts", type=int, default=3, help="ways to split them (default 3)")
        parser.add_argument("--sets", type=int, default=3, help="sets of 8 a case (default 3)")
        parser.add_argument("--by-case", action="store_true", help="a line for each bar as well")

    def handle(
        self, *args: Any, folder: Path, parts: int, sets: int, by_case: bool, **options: Any
    ) -> None:
        try:
            fills = list(human_fills(folder))
        except FolderError as error:
            raise CommandError(str(error)) from error
        halves = [Halves.of(fills, seed) for seed in range(parts)]
        self.stdout.write(
            f"{len(CASES)} bars with rules, {sets} sets of {FILLS} each at {TEMPO}, for somebody "
            f"who knows {KNOWN}; means over {parts} splits of {len(fills)} human fills."
        )
        self.stdout.write(f"{'':<{_WIDTH}}" + "".join(f"{name:>15}" for name, _, _ in _COLUMNS))
        for name, way in _ways():
            self._row(name, _measured(way, halves, sets), by_case=by_case)
        self._judged(halves)

    def _row(self, name: str, found: Sequence[LikenessFigures], *, by_case: bool) -> None:
        if by_case:
            for place, case in enumerate(CASES):
                self._line(case.counts, found[place :: len(CASES)])
        self._line(name, found)

    def _line(self, name: str, found: Sequence[LikenessFigures]) -> None:
        means = (getattr(mean_figures(found), field) for _, field, _ in _COLUMNS)
        cells = (
            f"{form.format(mean):>15}" for (_, _, form), mean in zip(_COLUMNS, means, strict=True)
        )
        self.stdout.write(f"{name[:_WIDTH]:<{_WIDTH}}" + "".join(cells))

    def _judged(self, halves: Sequence[Halves]) -> None:
        self.stdout.write(
            "\nTold from drummers’ own on rhythms held back (0.5: cannot tell; 1: always), by "
            "everything and by the phrase alone:"
        )
        for name, dial in DIALS.items():
            areas = np.array([_areas(half, dial, seed) for seed, half in enumerate(halves)])
            everything, phrase = areas.mean(axis=0)
            self.stdout.write(f"{name:<{_WIDTH}}{everything:>15.2f}{phrase:>15.2f}")


def _ways() -> Iterable[tuple[str, Callable[[Prior], Way] | None]]:
    yield "drummers, laid over these bars", None
    for name, dial in DIALS.items():
        yield f"drawn, {name}", _drawing(dial)
        yield f"picked, {name}", _picking(dial)


def _drawing(dial: float) -> Callable[[Prior], Way]:
    return lambda prior: lambda space, known, seed: draw(space, FILLS, seed, dial, prior)


def _picking(dial: float) -> Callable[[Prior], Way]:
    return lambda prior: (
        lambda space, known, seed: [
            one.fill for one in pick(space, FILLS, known, TEMPO, seed, dial, prior)
        ]
    )


def _measured(
    way: Callable[[Prior], Way] | None, halves: Sequence[Halves], sets: int
) -> list[LikenessFigures]:
    """The figures of each split and case: cases within splits; means over sets."""
    found = []
    for half in halves:
        for case in CASES:
            meter = LikenessMeter(case.space(), half)
            drawn = []
            for number in range(sets):
                known = draw(meter.space, KNOWN, f"known {number}", CLOSE_TO_HOME, half.prior)
                seed = f"set {number}"
                fills = way(half.prior)(meter.space, known, seed) if way else _human(meter, number)
                drawn.append(meter.figures(fills, known))
            found.append(mean_figures(drawn))
    return found


def _human(meter: LikenessMeter, number: int) -> Sequence[Fill]:
    order = np.random.default_rng(number).permutation(len(meter.laid))[:FILLS]
    return [meter.laid[place] for place in order.tolist()]


def _areas(half: Halves, dial: float, seed: int) -> tuple[float, float]:
    """What the judge reaches by everything, and by the phrase alone."""
    rhythms = ((line, space_of_rhythm(line)) for line in half.held_back)
    pairs = [(line, draw(space, FILLS, seed, dial, half.prior)) for line, space in rhythms if space]
    return _area(pairs, phrase=False), _area(pairs, phrase=True)


def _area(pairs: Sequence[tuple[Line, Sequence[Fill]]], *, phrase: bool) -> float:
    human = [features(line.onsets, [line.surfaces], phrase=phrase) for line, _ in pairs]
    drawn = [
        features(line.onsets, [surfaces(fill) for fill in fills], phrase=phrase)
        for line, fills in pairs
    ]
    return area(human, drawn)
