"""How a fill is practised, in words: the groove before it, and where its hands come from."""

from __future__ import annotations

from fractions import Fraction

from rhythms.engine import Bar, Meter
from rhythms.engine.bars.spoken_counts import count_names
from rhythms.engine.fills.hands import StickingStyle

#: What is said of hands that no rule fixes, by how they were filled in.
HANDS_PROPOSED = {
    StickingStyle.AS_TAUGHT: (
        "The hands under the notes are a proposal: hand to hand, the leading hand on the numbers."
    ),
    StickingStyle.LEAD_ON_EIGHTHS: (
        "The hands under the notes are a proposal: the leading hand on every eighth."
    ),
    StickingStyle.LEAST_EFFORT: "The hands under the notes are a proposal: the easiest way round.",
    StickingStyle.NONE_PRINTED: "",
}


def tempo_unit(meter: Meter) -> str:
    """What a tempo counts: in meters of eighths the beat that is felt is not its quarter."""
    return "quarters a minute" if meter.in_eighths else "beats a minute"


def groove_before(bar: Bar, block_bars: int, *, sets_up: bool = False) -> str:
    """``3 bars of groove``; of a fill that starts late ``Groove up to beat 3 of bar 4``; of a
    phrase ``Groove up to beat 4 of bar 2, and again in bar 3``.

    ``block_bars`` counts groove and fill together; ``sets_up``: the last whole bar of groove leads
    into the fill, in a phrase into each of them.
    """
    whole = block_bars - bar.meter.bars
    if bar.groove_from or (bar.starts_at and bar.sounded):
        leading = _leading(bar, whole) if sets_up else ""
        return f"{_up_to_the_fill(bar, block_bars)}{leading}"
    leading = ", the last one leading into it" if whole > 1 else " that leads into it"
    return f"{_bars_of_groove(whole)}{leading if sets_up and whole else ''}"


def leading_bar(bar: Bar) -> str:
    """What the groove's bar that leads into a fill is called where it is shown."""
    if len(bar.leading_bars) > 1:
        return "The bar that leads into each fill"
    return "Its last bar, which leads into the fill"


def _leading(bar: Bar, whole: int) -> str:
    """``, bar 3 leading into it``; of a phrase ``, bars 5 and 7 leading into the fills``."""
    bars = [str(whole + number + 1) for number in bar.leading_bars if whole + number >= 0]
    if len(bars) > 1:
        return f", bars {' and '.join(bars)} leading into the fills"
    return f", bar {bars[0]} leading into it" if bars else ""


def _up_to_the_fill(bar: Bar, block_bars: int) -> str:
    spans = [span for span in bar.groove_spans if span[0] < span[1]]
    first, *others = spans or [(Fraction(0), bar.starts_at)]
    if not others and _is_bar_line(bar, first[1]):
        return _bars_of_groove(_number(bar, first[1], block_bars) - 1)
    again = "".join(f", and again {_later(bar, span, block_bars)}" for span in others)
    return f"Groove up to {_place(bar, first[1], block_bars)}{again}"


def _later(bar: Bar, span: tuple[Fraction, Fraction], block_bars: int) -> str:
    """``in bar 3``; ``from bar 3 up to beat 2 of bar 4`` where the fill starts late."""
    begins = _number(bar, span[0], block_bars)
    if _is_bar_line(bar, span[1]):
        return f"in bar {begins}"
    return f"from bar {begins} up to {_place(bar, span[1], block_bars)}"


def _bars_of_groove(bars: int) -> str:
    return f"{bars} bar{'' if bars == 1 else 's'} of groove"


def _is_bar_line(bar: Bar, onset: Fraction) -> bool:
    return onset % bar.meter.bar_length == 0


def _place(bar: Bar, onset: Fraction, block_bars: int) -> str:
    """``beat 3 of bar 4``, counted from the block's first bar; in eighths ``count 4 of …``."""
    (name,) = count_names((onset,), bar.meter)
    said = name or str(bar.meter.beat_at(onset).number)
    if said.isdigit():
        said = f"{'count' if bar.meter.in_eighths else 'beat'} {said}"
    return f"{said} of bar {_number(bar, onset, block_bars)}"


def _number(bar: Bar, onset: Fraction, block_bars: int) -> int:
    return block_bars - bar.meter.bars + bar.meter.bar_at(onset) + 1
