"""What strokes on recorded drum kits measure: statistics, of which no sound is made.

Ten kits of free licences, 348 strokes, dry and mixed to mono: Debian's fluid-soundfont-gm (MIT),
avldrums.lv2-soundfont (two kits, CC BY-SA 3.0), timgm6mb-soundfont (GPL-2), sonic-pi-samples
(CC0), and of hydrogen-drumkits Pacific (CC BY-SA 3.0 US), Colombo (GPL-2+), Forzee, Millo 2 and
Millo 3 (GPL-2). Splash (four kits), china and rim shot (three each) are thin.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rhythms.bench.sound_judge import NOTHING, OCTAVES, STRETCHES, SoundFigures
from rhythms.notation.sounds import Samples

#: The median of normal strokes and accents: how many dB under the loudest each octave is in each
#: stretch of `sound_judge`. A dot, and what is not there, is 60 or more.
_LEVELS = """
snare       | 21 3 0 8 12 15 15 18 29 | 43 21 16 24 28 27 22 23 32 | .
rim shot    | 22 6 0 8 7 10 14 18 28 | 37 23 15 22 22 25 22 26 33 | .
cross-stick | 28 11 12 6 1 3 4 11 23 | 46 37 33 30 26 30 33 38 48 | .
high tom    | 14 0 1 9 13 15 16 20 29 | 19 4 14 25 37 40 47 55 . | 28 18 38 50 .
mid tom     | 11 0 1 9 11 13 13 18 32 | 18 4 17 26 32 34 42 50 . | 27 19 37 47 .
floor tom   | 7 0 2 8 10 11 12 20 34 | 6 6 15 20 25 33 36 44 . | 17 25 37 44 .
bass drum   | 2 0 11 18 23 22 24 30 45 | 20 24 31 40 47 51 55 . . | 53 44 .
hi-hat      | 31 22 15 10 12 14 7 0 1 | 54 38 29 26 29 28 20 17 15 | .
open hi-hat | 33 26 16 2 9 14 5 2 4 | 41 33 28 9 14 16 8 6 10 | 46 47 34 19 23 25 18 18 30
hi-hat foot | 18 7 2 6 11 14 8 5 4 | 43 34 25 29 30 28 24 21 19 | .
ride        | 36 30 23 17 16 13 5 1 3 | 49 46 25 20 21 17 12 10 14 | 52 48 29 24 24 20 16 19 29
ride bell   | 35 33 14 11 11 6 0 3 8 | 50 46 25 15 18 11 8 14 22 | 59 56 29 21 18 13 17 27 41
crash       | 37 30 16 3 6 17 11 15 18 | 45 36 22 7 14 12 3 7 20 | 44 37 28 16 18 12 6 11 22
splash      | 28 32 19 8 1 4 3 7 10 | 38 37 24 16 8 6 2 3 9 | 44 39 32 20 15 12 9 15 24
china       | 26 21 18 15 6 3 3 8 17 | 38 30 19 27 8 6 4 6 18 | 40 37 26 29 18 14 15 19 33
cowbell     | 35 34 18 0 13 7 7 9 16 | 57 53 34 18 35 33 35 41 54 | .
"""
#: From the tenth to the ninetieth part in a hundred of them: noise against tone in dB, seconds to
#: -60 dB at 500 and at 8000 Hz, attack in ms, centroid in Hz, all as `sound_judge` measures them.
_RANGES = """
snare       | -16.2 10.8 | 0.28 0.89 | 0.27 0.53 | 0.8 9 | 640 2470
rim shot    | -7.2 0.4   | 0.38 1.42 | 0.39 1.04 | 2.7 17 | 570 960
cross-stick | -2.3 11.7  | 0.23 1.0  | 0.16 0.49 | 2 9 | 1200 3700
high tom    | -6.0 34.7  | 0.47 1.1  | 0.10 0.47 | 2 8 | 153 235
mid tom     | 4.6 29.6   | 0.5 1.0   | 0.06 0.44 | 2 13 | 137 245
floor tom   | -0.6 17.5  | 0.47 1.3  | 0.14 0.47 | 2 7 | 123 425
bass drum   | 3.6 19.1   | 0.24 0.76 | 0.10 0.60 | 4 9 | 71 132
hi-hat      | 1.6 6.1    | 0.24 0.64 | 0.18 0.43 | 0.1 10 | 4000 11800
open hi-hat | -6.1 -0.2  | 0.6 7.9   | 0.8 4.0 | 0.6 48 | 2100 10300
hi-hat foot | 0.2 5.2    | 0.14 0.65 | 0.10 0.23 | 0.9 10 | 4700 13000
ride        | -22.0 -9.6 | 1.6 11    | 1.6 3.8 | 0.6 14 | 2900 9600
ride bell   | -26.9 -10.5 | 4.2 10   | 1.2 3.4 | 1 4 | 3200 6800
crash       | -8.5 0.9   | 2.4 7.2   | 2.0 3.9 | 3 32 | 650 6300
splash      | -5.7 1.9   | 2.8 4.9   | 1.7 2.3 | 1 61 | 1900 6700
china       | -2.2 9.6   | 2.5 11    | 1.4 2.6 | 2 26 | 1500 4400
cowbell     | -19.0 -5.8 | 0.16 1.5  | 0.10 0.25 | 2 4 | 720 2350
"""


class Spread(NamedTuple):
    """From where to where recorded ones lie."""

    least: float
    most: float

    def __contains__(self, value: object) -> bool:
        return isinstance(value, float) and self.least <= value <= self.most


class RecordedStroke(NamedTuple):
    """What is known of one kind: levels as `sound_judge.cells` gives them, and spreads."""

    levels: Samples
    noise: Spread
    low_decay: Spread
    high_decay: Spread
    attack: Spread
    centroid: Spread

    def outside(self, found: SoundFigures) -> list[str]:
        """The names of the figures that lie outside of what was recorded."""
        return [name for name in SoundFigures.__annotations__ if not self._has(name, found)]

    def _has(self, name: str, found: SoundFigures) -> bool:
        return getattr(found, name) in getattr(self, name)


def _rows(table: str) -> dict[str, list[list[float]]]:
    """Lines of a name and numbers in columns."""
    rows = {}
    for line in table.strip().splitlines():
        name, *columns = line.split("|")
        rows[name.strip()] = [
            [-NOTHING if number == "." else float(number) for number in column.split()]
            for column in columns
        ]
    return rows


def _filled(stretches: list[list[float]]) -> Samples:
    levels = np.full((len(STRETCHES), len(OCTAVES)), NOTHING)
    for place, row in enumerate(stretches):
        levels[place, : len(row)] = np.negative(row)
    return levels


_SPREADS = _rows(_RANGES)
#: By the name of the surface.
RECORDED: dict[str, RecordedStroke] = {
    name: RecordedStroke(_filled(stretches), *(Spread(*ends) for ends in _SPREADS[name]))
    for name, stretches in _rows(_LEVELS).items()
}
