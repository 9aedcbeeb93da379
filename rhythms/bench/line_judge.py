"""Can a judge tell drawn lines from drummers' own on the same rhythms?

A logistic regression of traits of the lines and their squares, cross-validated by rhythm; its
answer is the area under the receiver operating characteristic: 0.5 where it cannot tell, 1
where it always can (Hanley and McNeil 1982: the chance that of one of each the human line scores
higher).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rhythms.bench.likeness_cases import KIT
from rhythms.engine import Bar, Fill, FillSpace, Meter, RuleSet, Surface
from rhythms.engine.bars.writing import Event
from rhythms.engine.prior.phrase_ratio import learn_ratio
from rhythms.engine.prior.phrase_traits import SURFACES, TRAITS, codes_of, traits
from rhythms.engine.prior.played_line import Line

Floats = NDArray[np.float64]
FOLDS = 5
#: A line of less says little.
FEWEST = 4
_METER = Meter.parse("4/4")
#: Traits from here on are about surfaces, not about the phrase.
_PHRASE = list(TRAITS).index("on toms")
_RACK = (SURFACES.index(Surface.HIGH_TOM), SURFACES.index(Surface.MID_TOM))


def space_of_rhythm(line: Line) -> FillSpace | None:
    """Return all fills on a line's rhythm; None where it is not in one bar, or short."""
    first = line.onsets[0] // _METER.length * _METER.length
    onsets = [onset - first for onset in line.onsets]
    if len(onsets) < FEWEST or onsets[-1] >= _METER.length:
        return None
    events = [Event(onset) for onset in onsets]
    if onsets[0]:
        events.insert(0, Event(onsets[0] * 0, rest=True))
    return FillSpace(Bar.from_events(_METER, events), RuleSet(), KIT)


def features(onsets: Sequence, lines: Sequence[Sequence[Surface]], *, phrase: bool) -> Floats:
    """Return traits, and where it is not about the phrase alone also the shares of surfaces.

    Rack toms count as one: one of the two drummers plays only one.
    """
    codes = codes_of(lines)
    codes = np.where(codes == _RACK[1], _RACK[0], codes)
    found = traits(onsets, codes)
    if phrase:
        return found[:, :_PHRASE]
    shares = np.stack([(codes == code).mean(axis=1) for code in range(len(SURFACES))], axis=1)
    return np.hstack([found, shares])


def area(human: Sequence[Floats], drawn: Sequence[Floats]) -> float:
    """Return the judge's area under the curve; one array a rhythm, lines by features."""
    fold = np.arange(len(human)) % FOLDS
    scores: tuple[list[float], list[float]] = ([], [])
    for held in range(FOLDS):
        ratio = learn_ratio(
            *(
                np.vstack([one for one, f in zip(kind, fold, strict=True) if f != held])
                for kind in (human, drawn)
            )
        )
        for kind, found in zip((human, drawn), scores, strict=True):
            for one, of in zip(kind, fold, strict=True):
                if of == held:
                    found.extend(ratio.log(one).tolist())
    return _area(*map(np.array, scores))


def _area(human: Floats, drawn: Floats) -> float:
    above = (human[:, None] > drawn).mean() + (human[:, None] == drawn).mean() / 2
    return float(above)


def surfaces(fill: Fill) -> list[Surface]:
    """Return what is struck, in order."""
    return [stroke.surface for stroke in fill.strokes]
