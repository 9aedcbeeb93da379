"""Rules that change the rhythm: the bar as a row of 16ths, each a start or a holding on."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from rhythms.engine import Bar
from rhythms.engine.bars.writing import Event

#: One 16th: what starts there (rest, accent), or None where it is held.
Cell = tuple[bool, bool] | None


def reshaped(rule: dict, bar: Bar) -> Bar:
    """The bar as the rule has it, or the same."""
    make = {"play backwards": backwards, "start later": start_later}
    if rule["rule"] == "own answer":
        return own_answer(bar)
    if rule["rule"] not in make:
        return bar
    if bar.open_from is None:
        return make[rule["rule"]](rule, bar)
    call = Bar(bar.meter.one_bar, tuple(n for n in bar.notes if n.onset < bar.meter.bar_length))
    return own_answer(make[rule["rule"]](rule, call))


def cells(bar: Bar) -> list[Cell]:
    row: list[Cell] = [None] * int(bar.meter.length * 4)
    for event in bar.events():
        row[int(event.onset * 4)] = (event.rest, event.accent)
    return row


def written(bar: Bar, row: list[Cell]) -> Bar:
    starts = [(place, cell) for place, cell in enumerate(row) if cell is not None]
    return Bar.from_events(bar.meter, [Event(Fraction(at, 4), *cell) for at, cell in starts])


def backwards(rule: dict, bar: Bar) -> Bar:
    row = cells(bar)
    starts = [*(place for place, cell in enumerate(row) if cell is not None), len(row)]
    notes = [row[start:end] for start, end in pairwise(starts)]
    return written(bar, [cell for note in reversed(notes) for cell in note])


def start_later(rule: dict, bar: Bar) -> Bar:
    row, by = cells(bar), {"e": 1, "&": 2, "a": 3}[rule.get("on", "&")]
    return written(bar, [(True, False), *[None] * (by - 1), *row][: len(row)])


def own_answer(bar: Bar) -> Bar:
    """As many bars again, of rests, left open; once."""
    if bar.open_from is not None:
        return bar
    longer = bar.meter.over(2)
    events = [*bar.events(), Event(bar.meter.length, rest=True)]
    notes = Bar.from_events(longer, events).notes
    return Bar(longer, notes, bar.meter.length)
