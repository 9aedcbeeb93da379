"""How a fill is practised, in words: the groove before it, and where its hands come from."""

from __future__ import annotations

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


def groove_before(bar: Bar, block_bars: int) -> str:
    """``3 bars of groove``; of a fill that starts late ``Groove up to 3 of bar 4``.

    ``block_bars`` counts groove and fill together.
    """
    if not bar.starts_at or not bar.sounded:
        bars = block_bars - bar.meter.bars
        return f"{bars} bar{'' if bars == 1 else 's'} of groove"
    (name,) = count_names((bar.starts_at,), bar.meter)
    beat = bar.meter.beat_at(bar.starts_at)
    in_bar = block_bars - bar.meter.bars + beat.bar
    return f"Groove up to {name or beat.number} of bar {in_bar}"
