"""Takes that cost the most to analyse, as they could be sent: long, dense, sparse, hostile."""

from collections.abc import Sequence
from random import Random
from typing import NamedTuple

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.takes import USUAL_KEYS, Analysis, Recording, analyse
from rhythms.engine.takes.hits import MOST_MS, MOST_STROKES

Events = Sequence[tuple[float, int, int]]
_KIT = Kit.standard()
_KEYS = tuple({surface: key for key, surface in USUAL_KEYS.items()}.values())
_OF = {surface: key for key, surface in USUAL_KEYS.items()}
_SIXTEENTHS = "1 e & a 2 e & a 3 e & a 4 e & a"
_SEXTUPLETS = " ".join(f"{beat} trip let & trip let" for beat in range(1, 5))
_RULES: tuple[dict, ...] = (
    {"rule": "at most in a row", "n": 2},
    {"rule": "placement", "surfaces": ["snare", "toms", "cymbals"]},
    {"rule": "hands apart"},
)


class TakeCase(NamedTuple):
    """A take to analyse, as `fill` given under `rules`, or as something free."""

    name: str
    recording: Recording
    fill: Fill | None = None
    rules: tuple[dict, ...] = ()

    def analyse(self) -> Analysis:
        """What a worker does with it."""
        rules = RuleSet.from_json(list(self.rules))
        space = FillSpace(self.fill.bar, rules, _KIT) if self.fill and self.rules else None
        return analyse(self.recording, self.fill, space)


def typical() -> list[TakeCase]:
    """A minute or two of one fill, as students play them."""
    fill = _fill("1 & 2 e & a 3 & 4 e & a")
    played = _over_and_over(fill, 100, 400)
    return [
        TakeCase("a minute and a half of a fill, with a click", _of(played, click=(100, 0)), fill),
        TakeCase("the same without a click", _of(played, tempo=100), fill),
        TakeCase("the same as something free", _of(played)),
    ]


def dear() -> list[TakeCase]:
    """As long, as dense and as strange as can be sent."""
    fill = _fill(_SIXTEENTHS)
    wide = _fill(f"{_SIXTEENTHS} | {_SIXTEENTHS}")
    on_one = snare_fill(Bar.from_counts(f"{_SEXTUPLETS} | {_SEXTUPLETS}"))
    short, quick = _fill("1 &", "1/8"), _fill("1 trip let & trip let", "1/4")
    long = _over_and_over(fill, 96, MOST_STROKES)
    apart = MOST_MS / MOST_STROKES
    even = [place * apart for place in range(MOST_STROKES)]
    random, dense = _at_random(MOST_MS, MOST_STROKES), _at_random(5_000, MOST_STROKES)
    hats = [(ms, 42, 80) for ms in even]
    snares = [(ms, 38, 80) for ms in even]
    slow = [(2_000.0 * place, 38, 80) for place in range(450)]
    roll = [(ms, 38, 80) for ms in _accelerating(MOST_STROKES)]
    fastest = (240, 0)
    return [
        TakeCase("16ths to the end, a fill, with a click", _of(long, click=(96, 0)), fill),
        TakeCase("16ths to the end, a fill and its rules", _of(long, tempo=96), fill, _RULES),
        TakeCase("16ths to the end, two bars, no click", _of(long), wide),
        TakeCase("16ths to the end, something free", _of(long)),
        TakeCase("6,000 strokes in five seconds, a fill", _of(dense), fill),
        TakeCase("6,000 strokes in five seconds, a click", _of(dense, click=fastest), wide),
        TakeCase("6,000 strokes in five seconds, free", _of(dense)),
        TakeCase("at random over all of it, a fill", _of(random), fill),
        TakeCase("at random over all of it, free", _of(random)),
        TakeCase("snare to the end, two bars of snare", _of(snares), on_one),
        TakeCase("snare every two seconds, two bars", _of(slow), on_one),
        TakeCase("a roll that goes ever faster, free", _of(roll)),
        TakeCase("a roll that goes ever faster, a fill", _of(roll), on_one),
        TakeCase("at random in 1/8 at 240, a fill", _of(random, "1/8", click=fastest), short),
        TakeCase("at random in 1/4 at 240, a fill", _of(random, "1/4", click=fastest), quick),
        TakeCase("hi-hat to the end in 1/8, free", _of(hats, "1/8", click=fastest)),
        TakeCase("at random in 1/8, free", _of(random, "1/8")),
        TakeCase("two strokes at either end, a click", _of([hats[0], hats[-1]]), quick),
    ]


def _of(events: Events, meter: str = "4/4", **known: object) -> Recording:
    return Recording(events, Meter.parse(meter), _KIT, **known)  # type: ignore[arg-type]


def _fill(counts: str, meter: str = "4/4") -> Fill:
    return FillSpace(Bar.from_counts(counts, meter), RuleSet.from_json([]), _KIT).sample(1, 3)[0]


def _over_and_over(fill: Fill, tempo: float, strokes: int) -> Events:
    """Played about in time, until so many strokes or the longest take."""
    random = Random(5)  # noqa: S311 - the same each time
    quarter, bar, events = 60_000 / tempo, 0, list[tuple[float, int, int]]()
    while len(events) < strokes:
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True):
            at = (bar * float(fill.bar.meter.length) + float(note.onset)) * quarter
            events.append(
                (abs(at + random.gauss(0, 8)), _OF[stroke.surface], random.randint(30, 120))
            )
        bar += 1
    return [event for event in events if event[0] <= MOST_MS][:strokes]


def _at_random(ms: float, strokes: int) -> Events:
    random = Random(7)  # noqa: S311 - the same each time
    return sorted(
        (round(random.uniform(0, ms), 2), random.choice(_KEYS), random.randint(1, 127))
        for _ in range(strokes)
    )


def _accelerating(strokes: int) -> list[float]:
    at, apart, found = 0.0, 400.0, list[float]()
    while len(found) < strokes and at < MOST_MS:
        found.append(at)
        at, apart = at + apart, max(26.0, apart * 0.997)
    return found
