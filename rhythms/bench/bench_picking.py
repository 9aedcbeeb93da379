"""How much more varied picked fills are than drawn ones, and how long drawing and picking take."""

from collections.abc import Callable
from itertools import count, islice
from statistics import median, quantiles

from rhythms.bench.bench_timer import BenchEffort, cpu_seconds, seconds
from rhythms.bench.bench_watchers import APART, FIVE, sextuplets
from rhythms.bench.picking_alone import STATUS, picked_alone
from rhythms.bench.table import BenchRow, BenchSection
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.fills.variety import effective_fills
from rhythms.engine.picking import pick
from rhythms.engine.prior.drawing import A_STEP_OUT, ANYTHING, DIALS, draw

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
_KIT = Kit.standard()
#: What eight fills are picked from.
PICKED: dict[str, Callable[[], FillSpace]] = {
    "anything in 12 notes": lambda: case(0),
    "hands apart in 12 notes": lambda: case(15),
    "two watchers on 48 notes": lambda: FillSpace(sextuplets(8), RuleSet.from_json(APART), _KIT),
    "five watchers on 48 notes": lambda: FillSpace(sextuplets(8), RuleSet.from_json(FIVE), _KIT),
}
CASES, FILLS, TEMPO = 50, 6, 60
HOSTILE = 100


def case(number: int) -> FillSpace:
    """Return one of the seeded cases: each bar with each rule set in turn."""
    bar = Bar.from_counts(LINES[number % len(LINES)])
    rules = RULE_SETS[number // len(LINES) % len(RULE_SETS)]
    return FillSpace(bar, RuleSet.from_json(rules), _KIT)


def ratio(number: int, dial: float) -> float:
    """Return the effective number of picked fills over that of playable ones drawn alike."""
    space = case(number)
    picked = [one.fill for one in pick(space, FILLS, tempo=TEMPO, seed=number, dial=dial)]
    drawn = _drawn_playable(space, 1000 + number, dial)
    return effective_fills(picked) / effective_fills(drawn)


def _drawn_playable(space: FillSpace, seed: int, dial: float) -> list[Fill]:
    drawn = draw(space, 300 if dial == ANYTHING else 60, seed, dial)
    return list(islice((fill for fill in drawn if top_tempo(fill, _KIT) >= TEMPO), FILLS))


def section(effort: BenchEffort) -> BenchSection:
    cases = range(min(CASES, effort.calls))
    known = case(0).sample(24, seed=1)
    runs = min(3, effort.runs)
    return BenchSection(
        f"{FILLS} picked fills against {FILLS} drawn ones, both playable at {TEMPO}",
        (
            *(
                _variety(name, [ratio(case, dial) for case in cases])
                for name, dial in DIALS.items()
            ),
            BenchRow("draw 1, uniformly", seconds(lambda: draw(case(0), 1, dial=ANYTHING), runs)),
            BenchRow(
                "draw 1, a step out", seconds(lambda: draw(case(0), 1, dial=A_STEP_OUT), runs)
            ),
            BenchRow(
                "draw 100, a step out", seconds(lambda: draw(case(0), 100, dial=A_STEP_OUT), runs)
            ),
            BenchRow("draw 1, a step out, hands apart", seconds(lambda: draw(case(15), 1), runs)),
            BenchRow("pick 6, nothing known", seconds(lambda: pick(case(0), FILLS), runs)),
            BenchRow("pick 6, 24 fills known", seconds(lambda: pick(case(0), FILLS, known), runs)),
            *(
                row
                for name, space in PICKED.items()
                for row in _first_and_next(name, space, effort)
            ),
            *_hostile(range(min(HOSTILE, effort.calls))),
        ),
    )


def _hostile(seeds: range) -> tuple[BenchRow, ...]:
    if not STATUS.exists():
        return ()
    taken = [picked_alone(seed) for seed in seeds]
    return (
        BenchRow(
            f"pick 8, the dearest of {len(seeds)} hostile rule sets (CPU time)",
            max(one.seconds for one in taken),
            f"memory at the most {max(one.megabytes for one in taken)} MB",
        ),
    )


def _first_and_next(
    name: str, space: Callable[[], FillSpace], effort: BenchEffort
) -> tuple[BenchRow, ...]:
    """Eight picks in processor time: from a space that is new, and from one that was kept."""
    # No two at one tempo: each space is new.
    tempos = count(TEMPO, 1e-6)
    runs = min(5, effort.runs)
    return (
        BenchRow(
            f"pick 8, {name}, the first time (CPU time)",
            cpu_seconds(lambda: pick(space(), 8, tempo=next(tempos)), runs),
        ),
        BenchRow(
            f"pick 8, {name}, the next time (CPU time)", cpu_seconds(lambda: pick(space(), 8), runs)
        ),
    )


def _variety(name: str, ratios: list[float]) -> BenchRow:
    ratios = sorted(ratios)
    tenths = quantiles(ratios, n=10)
    spread = f"{ratios[0]:.2f} to {ratios[-1]:.2f}, a tenth below {tenths[0]:.2f}"
    return BenchRow(
        f"variety, picked to drawn, {name}", note=f"{median(ratios):.2f} times ({spread})"
    )
