"""Rules that change the rhythm: the bar as a row of 16ths, each a start or a holding on."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.writing import Event

#: One 16th: what starts there (rest, accent), or None where it is held.
Cell = tuple[bool, bool] | None


class NoRhythmError(Exception):
    """The rhythm cannot be written."""


def reshaped(rules: list[dict], bar: Bar) -> tuple[Bar, list[dict]]:
    """The bar as the rules have it: turned, in a phrase, then answered; and those that cannot."""
    unwritten = []
    for kind in (("play backwards", "start later"), ("phrase",), ("own answer",)):
        for rule in (rule for rule in rules if rule["rule"] in kind):
            try:
                bar = _MADE[rule["rule"]](rule, bar)
            except NoRhythmError:
                unwritten.append(rule)
    return bar, unwritten


def cells(bar: Bar) -> list[Cell]:
    row: list[Cell] = [None] * int(bar.meter.length * 4)
    for event in bar.events():
        row[int(event.onset * 4)] = (event.rest, event.accent)
    return row


def written(meter: Meter, row: list[Cell]) -> Bar:
    starts = [(place, cell) for place, cell in enumerate(row) if cell is not None]
    return Bar.from_events(meter, [Event(Fraction(at, 4), *cell) for at, cell in starts])


def backwards(rule: dict, bar: Bar) -> Bar:
    row = cells(bar)
    starts = [*(place for place, cell in enumerate(row) if cell is not None), len(row)]
    notes = [row[start:end] for start, end in pairwise(starts)]
    return written(bar.meter, [cell for note in reversed(notes) for cell in note])


def start_later(rule: dict, bar: Bar) -> Bar:
    row, by = cells(bar), {"e": 1, "&": 2, "a": 3}[rule.get("on", "&")]
    return written(bar.meter, [(True, False), *[None] * (by - 1), *row][: len(row)])


def own_answer(rule: dict, bar: Bar) -> Bar:
    """As many bars again, of rests, left open; once."""
    if bar.open_from is not None:
        return bar
    if bar.meter.bars > 2:
        raise NoRhythmError
    longer = bar.meter.over(2 * bar.meter.bars)
    rests = [Event(n * bar.meter.bar_length, True) for n in range(bar.meter.bars, longer.bars)]
    notes = Bar.from_events(longer, [*bar.events(), *rests]).notes
    return Bar(longer, notes, bar.meter.length, bar.groove_from)


def phrase(rule: dict, bar: Bar) -> Bar:
    """Half-way stands the end of the row, at the end the row; between them rests."""
    row, bars, smaller = cells(bar), int(rule["bars"]), rule["smaller"]
    struck = [place for place, cell in enumerate(row) if cell is not None and not cell[0]]
    silent_beats = min(struck, default=0) // 4
    if (
        bar.groove_from
        or 2 * bar.meter.bars > bars
        or (smaller and smaller >= len(row) // 4 - silent_beats)
    ):
        raise NoRhythmError
    ending = row[-4 * smaller :] if smaller else []
    # What is held into the ending is silent there.
    ending = [(True, False) if n == 0 and cell is None else cell for n, cell in enumerate(ending)]
    bar_of_rest: list[Cell] = [(True, False), *[None] * (4 * bar.meter.count - 1)]
    longer = bar_of_rest * (bars - bar.meter.bars) + row
    half = len(longer) // 2
    longer[half - len(ending) : half] = ending
    made = written(bar.meter.over(bars), longer)
    return Bar(made.meter, made.notes, groove_from=(Fraction(half, 4),) if smaller else ())


_MADE = {
    "play backwards": backwards,
    "start later": start_later,
    "phrase": phrase,
    "own answer": own_answer,
}
