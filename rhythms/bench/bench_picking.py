"""How much more varied picked fills are than random ones, and how long picking takes."""

from itertools import islice
from statistics import median, quantiles

from rhythms.bench.bench_timer import BenchEffort, seconds
from rhythms.bench.table import BenchRow, BenchSection
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.fills.variety import effective_fills
from rhythms.engine.picking import pick

LINES = (
    "1 & 2 e & a 3 & 4 e & a",
    "1 e & a 2 e & a 3 e & a 4 e & a",
    "1 trip let 2 trip let 3 trip let 4 trip let",
    "1 & a 2 & a 3 & a 4 & a",
    "1 e & a 2 & 3 e & a 4",
)
RULE_SETS: tuple[list[dict], ...] = (
    [{"rule": "placement", "surfaces": ["anything"]}],
    [{"rule": "sticking", "rudiment": "single paradiddle"}],
    [{"rule": "sticking", "rudiment": "double stroke roll"}],
    [{"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}],
    [{"rule": "placement", "surfaces": ["snare", "toms", "cymbals"]}],
)
CASES, FILLS, TEMPO = 50, 6, 60
_KIT = Kit.standard()


def case(number: int) -> FillSpace:
    """Return one of the seeded cases: each bar with each rule set in turn."""
    bar = Bar.from_counts(LINES[number % len(LINES)])
    rules = RULE_SETS[number // len(LINES) % len(RULE_SETS)]
    return FillSpace(bar, RuleSet.from_json(rules), _KIT)


def ratio(number: int) -> float:
    """Return the effective number of picked fills over that of random playable ones."""
    space = case(number)
    picked = [one.fill for one in pick(space, FILLS, tempo=TEMPO, seed=number)]
    return effective_fills(picked) / effective_fills(_random_playable(space, seed=1000 + number))


def _random_playable(space: FillSpace, seed: int) -> list[Fill]:
    drawn = space.sample(min(300, space.size), seed)
    return list(islice((fill for fill in drawn if top_tempo(fill, _KIT) >= TEMPO), FILLS))


def section(effort: BenchEffort) -> BenchSection:
    ratios = sorted(ratio(number) for number in range(min(CASES, effort.calls)))
    tenths = quantiles(ratios, n=10)
    spread = f"{ratios[0]:.2f} to {ratios[-1]:.2f}, a tenth below {tenths[0]:.2f}"
    known = case(0).sample(24, seed=1)
    return BenchSection(
        f"{FILLS} picked fills against {FILLS} random ones, both playable at {TEMPO}",
        (
            BenchRow(
                f"variety, picked to random, {len(ratios)} cases",
                note=f"{median(ratios):.2f} times ({spread})",
            ),
            BenchRow("pick 6, nothing known", seconds(lambda: pick(case(0), FILLS), 3)),
            BenchRow("pick 6, 24 fills known", seconds(lambda: pick(case(0), FILLS, known), 3)),
        ),
    )
