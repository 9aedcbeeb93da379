"""How a fill is practised, in words: the groove before it, and where its hands come from."""

from __future__ import annotations

from fractions import Fraction

from rhythms.engine import Bar
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


def groove_before(bar: Bar, block_bars: int, *, sets_up: bool = False) -> str:
    """``3 bars of groove``; of a fill that starts late ``Groove up to 3 of bar 4``; of a phrase
    ``Groove up to 4 of bar 2, and again from bar 3 up to 1 of bar 4``.

    ``block_bars`` counts groove and fill together; ``sets_up``: the last whole bar of groove leads
    into the fill, in a phrase into each of them.
    """
    whole = block_bars - bar.meter.bars
    if bar.groove_from or (bar.starts_at and bar.sounded):
        leading = _leading(bar, whole) if sets_up else ""
        return f"{_up_to_the_fill(bar, block_bars)}{leading}"
    leading = ", the last one leading into it" if whole > 1 else " that leads into it"
    return f"{whole} bar{'' if whole == 1 else 's'} of groove{leading if sets_up and whole else ''}"


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
    if not bar.groove_from:
        return f"Groove up to {_place(bar, bar.starts_at, block_bars)}"
    first, *others = (span for span in bar.groove_spans if span[0] < span[1])
    again = "".join(
        f", and again from bar {_number(bar, start, block_bars)}"
        f" up to {_place(bar, end, block_bars)}"
        for start, end in others
    )
    return f"Groove up to {_place(bar, first[1], block_bars)}{again}"


def _place(bar: Bar, onset: Fraction, block_bars: int) -> str:
    """``3 of bar 4``, counted from the block's first bar."""
    (name,) = count_names((onset,), bar.meter)
    beat = bar.meter.beat_at(onset)
    return f"{name or beat.number} of bar {_number(bar, onset, block_bars)}"


def _number(bar: Bar, onset: Fraction, block_bars: int) -> int:
    return block_bars - bar.meter.bars + bar.meter.bar_at(onset) + 1
