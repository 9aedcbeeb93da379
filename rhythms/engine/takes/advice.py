"""What a teacher would say after a take: one thing, and what to play again for it.

Of all that went wrong more often than chance has it (`note_faults`) the one that matters most: what
was left out or went to another drum before what came late, what happened each time before what
happened now and then. Nothing is said of what happened once, nor of what is finer than is heard or
than the device tells; where the strokes are at odds everywhere, one slower tempo is the advice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from statistics import median

from rhythms.engine.fills.fill_part import FillPart, all_of, half_of, part_around
from rhythms.engine.takes.note_faults import (
    ACCENT_LOST,
    EARLY,
    GHOST_LOUD,
    LATE,
    LEFT_OUT,
    OTHER_DRUM,
    TOO_MUCH,
    TWICE,
    Fault,
    TimesThrough,
    faults,
    standing_out,
)
from rhythms.engine.takes.timing import band

AHEAD, BEHIND, UNEVEN, TOO_FAST = "ahead", "behind", "uneven", "too fast"
ALL_CAME, ONCE, NO_ONE_PLACE, FEET = "all came", "once", "no one place", "feet"
#: How much each kind matters, where it happens each time; proposals, as a teacher would have them.
WEIGHTS = {
    LEFT_OUT: 3.0,
    OTHER_DRUM: 2.5,
    TOO_MUCH: 2.2,
    LATE: 1.5,
    EARLY: 1.5,
    ACCENT_LOST: 0.8,
    GHOST_LOUD: 0.8,
}
#: A run ahead or behind counts like a note that is late, and a bit more: all of it is on the way.
_OF_A_RUN = 1.7
#: Where less than this share of the notes comes, it is too fast, whatever else it is.
FEW_CAME = 0.65
#: So many ms from first note to last are a run ahead, and three times what chance has.
_A_RUN, _SURE = 40.0, 3.0
#: Where the feet keep going less often than this, that comes first.
_FEET_CAME = 0.75
#: As many strokes as make a spread worth a word.
_FOR_A_SPREAD = 16
SLOWEST = 30
#: From what came all right, one step up (as the practice plan climbs).
UP = 1.05


@dataclass(frozen=True)
class Advice:
    """One ``kind`` of thing at some ``notes``, in ``times`` of ``of`` times through.

    ``amount`` in ms, or the share of notes that came; ``drum`` and ``played`` where drums matter.
    ``tempo`` is what to play it at, ``part`` what to play, None where nothing needs to be again.
    """

    kind: str
    tempo: int
    times: int
    of: int
    notes: tuple[int, ...] = ()
    amount: float = 0.0
    drum: str = ""
    played: str = ""
    part: FillPart | None = None


def advise(times: TimesThrough, tempo: float, *, told_by_a_click: bool) -> Advice | None:
    """The one thing to say; None where nothing was played or nothing can be said.

    ``tempo`` in quarters a minute as it was played. Whether it ran ahead is only told against a
    click, or a file's grid: one that was made out from the strokes went along with them.
    """
    of = len(times.attempts)
    if not of or not times.fill.strokes:
        return None
    if of < TWICE:
        return Advice(ONCE, round(tempo), times.whole, of)
    if times.right_share < FEW_CAME:
        slower, part = _slower(tempo, 1.0), half_of(times.fill, second=False)
        return Advice(TOO_FAST, slower, times.whole, of, amount=times.right_share, part=part)
    found = [_feet(times, tempo), _run(times, tempo) if told_by_a_click else None]
    weighty = [(_OF_A_RUN * one.times / of, one) for one in found if one]
    weighty += _at_notes(times, tempo)
    if weighty:
        return max(weighty, key=lambda pair: pair[0])[1]
    return _uneven(times, tempo) or _on_the_whole(times, tempo)


def _at_notes(times: TimesThrough, tempo: float) -> list[tuple[float, Advice]]:
    told = standing_out(times, faults(times))
    of = len(times.attempts)
    return [
        (WEIGHTS[one.kind] * len(one.times) / of, _of_fault(times, one, told, tempo))
        for one in told
    ]


def _of_fault(times: TimesThrough, fault: Fault, told: Sequence[Fault], tempo: float) -> Advice:
    """The fault, with that of the same kind at the note before or after it where there is one."""
    beside = [
        (other, fault.times & other.times)
        for other in told
        if (other.kind, other.of, other.played) == (fault.kind, fault.of, fault.played)
        and abs(other.note - fault.note) == 1
        and len(fault.times & other.times) >= TWICE
    ]
    other, both = max(beside, key=lambda pair: len(pair[1]), default=(None, fault.times))
    notes = tuple(sorted({fault.note, other.note if other else fault.note}))
    of = len(times.attempts)
    return Advice(
        fault.kind,
        _slower(tempo, len(both) / of),
        len(both),
        of,
        notes,
        drum=fault.of,
        played=fault.played,
        part=part_around(times.fill, notes),
    )


def _run(times: TimesThrough, tempo: float) -> Advice | None:
    """Ahead or behind from first note to last, nearly each time and further than by chance."""
    gains, of = times.gains, len(times.attempts)
    if len(gains) < TWICE:
        return None
    middle = median(gains)
    same = [gain for gain in gains if gain * middle > 0 and abs(gain) > _A_RUN / 2]
    notes = len(times.fill.strokes)
    chance = (times.spread or 0.0) * sqrt(12 / notes) / sqrt(len(gains))
    enough = max(_A_RUN, _SURE * min(chance, _A_RUN), 2 * times.jitter)
    if abs(middle) < enough or len(same) < TWICE or 4 * len(same) < 3 * of:
        return None
    kind = BEHIND if middle > 0 else AHEAD
    part = half_of(times.fill, second=True)
    return Advice(kind, _slower(tempo, 0.5), len(same), of, amount=abs(middle), part=part)


def _feet(times: TimesThrough, tempo: float) -> Advice | None:
    feet = [foot for one in times.attempts for foot in one.get("feet", ())]
    came = sum(foot["off"] is not None for foot in feet)
    if not feet or came >= _FEET_CAME * len(feet):
        return None
    of = len(times.attempts)
    tempo = _slower(tempo, 0.5)
    return Advice(FEET, tempo, of, of, amount=came / len(feet), part=FillPart(times.fill, 0))


def _uneven(times: TimesThrough, tempo: float) -> Advice | None:
    """Where nothing else is to be said: a spread that is heard, and not the device's own."""
    spread, of = times.spread, len(times.attempts)
    strokes = sum(map(len, times.lateness))
    if spread is None or strokes < _FOR_A_SPREAD:
        return None
    name, device_hides = band(spread, times.jitter)
    if device_hides or name in ("tight", "solid"):
        return None
    part = all_of(times.fill)
    return Advice(UNEVEN, _slower(tempo, 0.5), of, of, amount=spread, part=part)


def _on_the_whole(times: TimesThrough, tempo: float) -> Advice:
    of, whole = len(times.attempts), times.whole
    if whole < of:
        return Advice(NO_ONE_PLACE, round(tempo), whole, of)
    furthest = max((abs(off) for one in times.lateness for off in one.values()), default=0.0)
    within = max(5 * ceil(furthest / 5), times.apart)
    return Advice(ALL_CAME, round(max(tempo * UP, tempo + 1)), whole, of, amount=within)


def _slower(tempo: float, share: float) -> int:
    """The slower, the more often it went wrong; three tenths slower where it did each time."""
    return max(SLOWEST, round(tempo * (0.9 - 0.2 * share)))
