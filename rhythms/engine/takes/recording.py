"""What was caught of a take, before anything is made of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rhythms.engine.bars.feel import Feel
from rhythms.engine.bars.meter import Meter
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove import Groove


@dataclass(frozen=True)
class Recording:
    """What was caught, and what is known of how.

    ``events`` are (ms, key, velocity). ``click`` is (tempo in quarters a minute, ms of a bar
    line); ``of_file`` says that it stands in a file and may not be what was played to.
    ``tempo`` is what the player was asked for, ``stated_tempo`` what they say it was, which goes
    before it; ``counted_as_stated`` that twice or half the click's tempo is how it is counted.
    ``feel`` is what it is held against, None where that is to be made out.
    ``latency`` and ``jitter`` in ms. ``grooves`` are those that the groove of a free take may be.
    """

    events: Sequence[Sequence[float]]
    meter: Meter
    kit: Kit
    click: tuple[float, float] | None = None
    of_file: bool = False
    tempo: float | None = None
    stated_tempo: float | None = None
    counted_as_stated: bool = False
    feel: Feel | None = None
    latency: float | None = None
    jitter: float = 0.0
    keys: Mapping[int, Surface] = field(default_factory=dict)
    grooves: Sequence[Groove] = ()
