"""Whether a piece is stuck: practised, with nothing gained, for two weeks.

Gained is whatever shows in the log: a clean time through at a higher tempo than any before; a clean
day (three of four times) at a higher tempo than any clean day before, or at the highest there is;
a better share of clean times, by a tenth, than ever at that tempo or a higher one; a re-check,
after which it is begun anew; being mastered, after which it is not in work.

A piece is stuck where the last of these is 14 days ago or more, and it was since then played on
four days or more and 40 times or more (loosening up not counted), of which is known how they came
out, the last of them within 14 days: whoever did not play, or never says how it went, is not stuck.
Two clean days with the simpler one (see `easier`) begin the two weeks anew, with the piece itself.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import groupby

from fsrs import Rating

from assignments.mastery import CLEAN_SHARE
from assignments.planner.due import rating_of
from assignments.planner.history import Record, Sitting
from assignments.planner.tempo import begin_tempo

TWO_WEEKS = timedelta(days=14)
FEWEST_DAYS, FEWEST_TIMES = 4, 40
#: As much more of a day's times through must be clean for it to be better.
BETTER = Fraction(1, 10)
#: As many counted times through make a share, or a clean day at the highest tempo.
FOR_A_SHARE, AT_THE_TOP = 3, 2
#: As many clean days with the simpler one are the end of it.
CLEAN_DAYS = 2


@dataclass(frozen=True)
class Stuck:
    """Since when nothing was gained, and the ``tempo`` at which it was played last."""

    since: date
    tempo: int


@dataclass
class _Way:
    """What a piece had come to by some day."""

    gained_on: date
    highest: int
    begun_at: int
    days: int = 0
    times: int = 0
    seen_on: date = date.min
    tempo: int = 0
    clean_at: int = 0
    clean_day_at: int = 0
    clean_days_eased: int = 0

    def gain(self, day: date) -> None:
        self.gained_on, self.days, self.times, self.clean_days_eased = day, 0, 0, 0


def stuck(record: Record, day: date) -> Stuck | None:
    """Return since when the piece is stuck on that day; None where it is not."""
    if record.begun_on is None or record.is_mastered:
        return None
    way = _Way(record.begun_on, record.piece.highest, begin_tempo(record.piece))
    shares: list[tuple[int, Fraction]] = []
    for on, sittings in groupby(record.sittings, key=lambda sitting: sitting.day):
        _live(way, shares, on, list(sittings))
    is_long = day - way.gained_on >= TWO_WEEKS
    is_much = way.days >= FEWEST_DAYS and way.times >= FEWEST_TIMES
    if not (is_long and is_much) or day - way.seen_on > TWO_WEEKS or not way.tempo:
        return None
    return Stuck(way.gained_on, way.tempo)


def _live(
    way: _Way, shares: list[tuple[int, Fraction]], day: date, sittings: Sequence[Sitting]
) -> None:
    """One day with practice."""
    way.seen_on = day
    own = [sitting for sitting in sittings if not sitting.easier]
    eased = [sitting for sitting in sittings if sitting.easier]
    if any(sitting.recheck for sitting in own):
        way.gain(day)
    if own:
        tempo = max((sitting.tempo or 0 for sitting in own), default=0)
        way.tempo = tempo or way.tempo
        if _is_gain(way, shares, own):
            way.gain(day)
        elif any(map(_is_known, own)):
            way.days += 1
            way.times += sum(one.loops or 0 for one in own if one.tempo != way.begun_at)
    if eased and rating_of(eased) is Rating.Good:
        way.clean_days_eased += 1
        if way.clean_days_eased >= CLEAN_DAYS:
            way.gain(day)


def _is_gain(way: _Way, shares: list[tuple[int, Fraction]], sittings: Sequence[Sitting]) -> bool:
    clean_at = max((one.tempo or 0 for one in sittings if one.clean_loops), default=0)
    higher = clean_at > way.clean_at
    way.clean_at = max(way.clean_at, clean_at)
    better = False
    for tempo, loops, share in _shares_of(sittings):
        is_clean = share >= CLEAN_SHARE
        better |= is_clean and loops >= AT_THE_TOP and tempo >= way.highest
        if loops < FOR_A_SHARE:
            continue
        best = max((seen for at, seen in shares if at >= tempo), default=None)
        better |= best is not None and share >= best + BETTER
        better |= is_clean and tempo > way.clean_day_at
        way.clean_day_at = max(way.clean_day_at, tempo * is_clean)
        shares.append((tempo, share))
    return higher or better


def _shares_of(sittings: Sequence[Sitting]) -> Iterator[tuple[int, int, Fraction]]:
    """Of each tempo of a day, how many times through were counted, and the share of clean ones."""
    counted = [one for one in sittings if one.loops and one.clean_loops is not None]
    for tempo in sorted({one.tempo or 0 for one in counted}):
        at = [one for one in counted if (one.tempo or 0) == tempo]
        loops = sum(one.loops or 0 for one in at)
        yield tempo, loops, Fraction(sum(one.clean_loops or 0 for one in at), loops)


def _is_known(sitting: Sitting) -> bool:
    return bool(sitting.felt) or (sitting.loops is not None and sitting.clean_loops is not None)
