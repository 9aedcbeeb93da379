"""A take analysed: its grid, what was played, and how that compares with what was meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any, NamedTuple

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FEET
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.takes.attempt_result import Attempt
from rhythms.engine.takes.click_left import ClickLeft
from rhythms.engine.takes.given_grid import shifted
from rhythms.engine.takes.grid import CLICK, ESTIMATED, Grid
from rhythms.engine.takes.grid_choice import chosen_grid
from rhythms.engine.takes.groove_heard import OTHER_GROOVE, groove_heard
from rhythms.engine.takes.hits import Heard, TimedHit, hear
from rhythms.engine.takes.matching import around, attempt, feet_of, may_hold
from rhythms.engine.takes.recording import Recording
from rhythms.engine.takes.rules_kept import Kept, rules_kept, struck
from rhythms.engine.takes.split import Split, split
from rhythms.engine.takes.stroke_reading import PlacedHit, fill_of, offs_of, place
from rhythms.engine.takes.swing_estimate import feel_made_out, measured, refined
from rhythms.engine.takes.timing import FOR_A_GROUP, Timing, spread_of, timing, verdict
from rhythms.engine.takes.touch_levels import TouchLevels

#: Changes whenever the same take would be understood differently.
TAKES_VERSION = "takes-7"
#: How much of a fill makes a bar an attempt at it; less where the bar leaves the groove anyway.
AN_ATTEMPT, A_POOR_ONE = 0.55, 0.45


@dataclass(frozen=True)
class Analysis:
    """What a take says. ``attempts`` only where a fill was meant and found.

    ``fills`` are what was played as fills, as fills; ``answers`` what was played where the fill
    that was meant is left open. ``fill_bars`` are the bars in which fills begin, counted from 0 (in
    those of the fill that was meant), ``fill_spreads`` how steady each was: the standard deviation
    of its strokes in ms, None where too few say. ``kept`` says which rules were kept.
    ``unread`` strokes came after what is read of a take. ``feel`` is what it was held against, and
    ``swing`` in percent what it was measured to be, None where too few notes say. ``groove`` is the
    name of the groove that a free take was played with, OTHER_GROOVE, or "" without one. ``left``
    says where the strokes left the click.
    """

    strokes: int
    unknown: Mapping[int, int]
    grid: Grid | None = None
    groove_bars: tuple[int, ...] = ()
    attempts: tuple[Attempt, ...] = ()
    fills: tuple[Fill, ...] = ()
    fill_bars: tuple[int, ...] = ()
    timing: Timing | None = None
    groups: tuple[Timing, ...] = ()
    kept: tuple[Kept, ...] = ()
    unread: int = 0
    feel: Feel = STRAIGHT
    swing: float | None = None
    answers: tuple[Fill, ...] = ()
    groove: str = ""
    fill_spreads: tuple[float | None, ...] = ()
    left: ClickLeft | None = None

    def to_json(self) -> dict[str, Any]:
        """All but fills and answers, which are kept by themselves; JSON of numbers and words."""
        return {
            "version": TAKES_VERSION,
            "strokes": self.strokes,
            "unread": self.unread,
            "unknown": {str(key): count for key, count in self.unknown.items()},
            "grid": _grid_json(self.grid),
            "feel": None if self.feel.is_straight else self.feel.to_json(),
            "left": self.left.to_json() if self.left else None,
            "swing": _rounded(self.swing),
            "groove": self.groove,
            "groove_bars": list(self.groove_bars),
            "fill_bars": list(self.fill_bars),
            "fill_spreads": [_rounded(spread) for spread in self.fill_spreads],
            "answers": len(self.answers),
            "attempts": [one.to_json() for one in self.attempts],
            "timing": _timing_json(self.timing) if self.timing else None,
            "groups": [_timing_json(group) for group in self.groups],
            "kept": [{**asdict(rule), "words": list(rule.words)} for rule in self.kept],
        }


def analyse(
    recording: Recording, meant: Fill | None = None, space: FillSpace | None = None
) -> Analysis:
    """Look at a take; ``meant`` is the fill it should be, ``space`` the rules it should keep."""
    heard = hear(recording.events, recording.keys)
    late = recording.latency or 0.0
    hits = tuple(hit._replace(ms=hit.ms - late) for hit in heard.hits)
    feel = (recording.feel or STRAIGHT).in_meter(meant.bar.meter if meant else recording.meter)
    grid, left = chosen_grid(recording, hits, meant, feel)
    if grid is None or not hits:
        return Analysis(len(hits), heard.unknown, unread=heard.unread)
    if recording.feel is None and meant is None and not left:
        feel, grid = _made_out(hits, grid)
    # Groove and phrases go by single bars, whatever was meant.
    placed = place(hits, replace(grid, meter=grid.meter.one_bar), feel)
    caught = _Caught(heard, hits, grid, feel, measured(placed, feel, grid), left)
    parts = split(placed, grid.meter.one_bar)
    attempts = _attempts(meant, caught, parts) if meant else ()
    if meant and attempts:
        return _of_a_fill(recording, caught, parts, (meant, space), attempts)
    return _free(recording, caught, placed, parts)


class _Caught(NamedTuple):
    heard: Heard
    hits: tuple[TimedHit, ...]
    grid: Grid
    feel: Feel
    swing: float | None
    left: ClickLeft | None


def _made_out(hits: Sequence[TimedHit], grid: Grid) -> tuple[Feel, Grid]:
    """The feel that strokes have of themselves, and the grid where that has them."""
    feel = feel_made_out(hits, grid)
    if feel.is_straight:
        return feel, grid
    moved = shifted(hits, grid, feel)
    percent = measured(place(hits, moved, feel), feel, moved)
    return (STRAIGHT, grid) if percent is None else (refined(feel, percent), moved)


def _attempts(meant: Fill, caught: _Caught, parts: Split) -> tuple[Attempt, ...]:
    hits, grid, feel = caught.hits, caught.grid, caught.feel
    length = float(grid.meter.length)
    first, last = grid.quarters(hits[0].ms), grid.quarters(hits[-1].ms)
    bars = range(int(first // length), int(last // length) + 1)
    tried = (
        attempt(meant, hits, grid, bar, feel)
        for bar in bars
        if may_hold(meant, hits, grid, bar, A_POOR_ONE)
    )
    return tuple(
        one
        for one in tried
        if one.likeness >= AN_ATTEMPT
        or (one.likeness >= A_POOR_ONE and _bars_of(one, meant) & parts.fill_bars)
    )


def _bars_of(one: Attempt, meant: Fill) -> frozenset[int]:
    """The bars of an attempt, each counted singly."""
    bars = meant.bar.meter.bars
    return frozenset(range(one.bar * bars, (one.bar + 1) * bars))


def _of_a_fill(
    recording: Recording,
    caught: _Caught,
    parts: Split,
    asked: tuple[Fill, FillSpace | None],
    attempts: tuple[Attempt, ...],
) -> Analysis:
    heard, hits, grid, feel, swing, left = caught
    meant, space = asked
    touch = TouchLevels.of_take(hits)
    played = tuple(_played(meant, one, caught, recording.kit, touch) for one in attempts)
    offs = _deviations(meant, attempts, grid, _delay(recording, grid))
    bars = {bar for one in attempts for bar in _bars_of(one, meant)}
    return Analysis(
        len(hits),
        heard.unknown,
        grid,
        tuple(bar for bar in parts.groove if bar not in bars),
        attempts,
        played,
        tuple(one.bar for one in attempts),
        _whole([off for _, _, off in offs], recording, grid),
        tuple(_groups(offs, recording.jitter)),
        rules_kept(space, meant, attempts, touch) if space else (),
        heard.unread,
        feel,
        swing,
        tuple(_answers(meant, attempts, caught, recording.kit, touch)),
        fill_spreads=tuple(spread_of(_offs(one)) for one in attempts),
        left=left,
    )


def _free(
    recording: Recording, caught: _Caught, placed: Sequence[PlacedHit], parts: Split
) -> Analysis:
    heard, hits, grid, feel, swing, left = caught
    touch = TouchLevels.of_take(hits)
    fills = [fill_of(one.placed, one.meter, recording.kit, touch) for one in parts.phrases]
    return Analysis(
        len(hits),
        heard.unknown,
        grid,
        parts.groove,
        fills=tuple(fills),
        fill_bars=tuple(one.bar for one in parts.phrases),
        timing=_whole([one.off + _delay(recording, grid) for one in placed], recording, grid),
        unread=heard.unread,
        feel=feel,
        swing=swing,
        groove=_groove(recording, caught, placed, parts),
        fill_spreads=tuple(spread_of(offs_of(one.placed)) for one in parts.phrases),
        left=left,
    )


def _groove(
    recording: Recording, caught: _Caught, placed: Sequence[PlacedHit], parts: Split
) -> str:
    """The name of what was played around the fills; "" where there is no groove."""
    if not (parts.groove and recording.grooves):
        return ""
    of = caught.grid.meter.one_bar, caught.feel
    found = groove_heard(placed, parts.groove, recording.grooves, *of)
    return found.name if found else OTHER_GROOVE


def _offs(one: Attempt) -> list[float]:
    return [hit.off for note in one.notes for hit in note.hits if hit.off is not None]


def _played(meant: Fill, one: Attempt, caught: _Caught, kit: Kit, touch: TouchLevels) -> Fill:
    """The fill of one attempt: the one meant, with what was struck; read anew if it is another."""
    if one.complete:
        return struck(meant, one, touch)
    feet = feet_of(meant) - {hit.surface for hit in meant.going_on}
    inside = [
        each
        for each in _struck_in(one, caught)
        if not any(start <= each.onset < end for start, end in meant.bar.free_spans)
        and (each.hit.surface in feet or each.hit.surface not in FEET)
    ]
    return fill_of(inside, caught.grid.meter, kit, touch)


def _answers(
    meant: Fill, attempts: Sequence[Attempt], caught: _Caught, kit: Kit, touch: TouchLevels
) -> Iterator[Fill]:
    """What each attempt has where the fill is left open, on bars of its own."""
    start, meter = meant.bar.open_from, meant.bar.meter
    if start is None:
        return
    own_bars = meter.over(meter.bars - meter.bar_at(start))
    for one in attempts:
        inside = [each for each in _struck_in(one, caught) if each.onset >= start]
        if inside:
            own = [each._replace(onset=each.onset - start) for each in inside]
            yield fill_of(own, own_bars, kit, touch)


def _struck_in(one: Attempt, caught: _Caught) -> list[PlacedHit]:
    """The strokes of the bar of one attempt, each at its place."""
    hits, grid, feel = caught.hits, caught.grid, caught.feel
    own = replace(grid, anchors=tuple((at, ms + one.offset) for at, ms in grid.anchors))
    return [each for each in place(around(hits, own, one.bar), own, feel) if each.bar == one.bar]


#: Hands or feet, the value class of a note, and its deviation in ms. Nobody saw which hand.
_Deviation = tuple[str, str, float]


def _delay(recording: Recording, grid: Grid) -> float:
    """By how many ms the strokes as a whole are behind the click; 0 without one."""
    if grid.known != CLICK or recording.click is None:
        return 0.0
    return grid.ms(0.0) - recording.click[1]


def _deviations(
    meant: Fill, attempts: Sequence[Attempt], grid: Grid, delay: float
) -> list[_Deviation]:
    """Of every hit that was struck. Without a click the attempt's own offset is its grid."""
    return [
        ("feet" if hit.by_foot else "hands", written.value, hit.off - own)
        for one in attempts
        for own in [one.offset if grid.known == ESTIMATED else -delay]
        for note, written in zip(one.notes, meant.bar.sounded, strict=True)
        for hit in note.hits
        if hit.off is not None
    ]


def _whole(offs: Sequence[float], recording: Recording, grid: Grid) -> Timing | None:
    """All strokes together; early or late only against a click, on a device that was measured."""
    if not offs:
        return None
    found = timing("all", offs, jitter=recording.jitter)
    if grid.known != CLICK:
        return found
    return replace(found, verdict=verdict(offs, recording.latency, recording.jitter))


def _groups(offs: Sequence[_Deviation], jitter: float) -> list[Timing]:
    """Hands, feet and each value class against the middle of all; none of few strokes."""
    if not offs:
        return []
    centre = timing("", [off for _, _, off in offs], jitter=jitter).bias
    names = dict.fromkeys([limbs for limbs, _, _ in offs] + [value for _, value, _ in offs])
    of = {name: [off for limbs, value, off in offs if name in (limbs, value)] for name in names}
    return [
        timing(name, found, jitter=jitter, centre=centre)
        for name, found in of.items()
        if FOR_A_GROUP <= len(found) < len(offs)
    ]


def _grid_json(grid: Grid | None) -> dict[str, Any] | None:
    if grid is None:
        return None
    return {
        "known": grid.known,
        "tempo": round(grid.tempo, 1),
        "drift": round(grid.drift, 4),
        "start": round(grid.ms(0.0), 1),
    }


def _timing_json(timing: Timing) -> dict[str, Any]:
    return {**asdict(timing), "bias": _rounded(timing.bias), "spread": _rounded(timing.spread)}


def _rounded(ms: float | None) -> float | None:
    return None if ms is None else round(ms, 1)
