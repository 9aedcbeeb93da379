"""Which grid a take is read by: that of its click or file, one that somebody said, or its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rhythms.engine.bars.feel import Feel
from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.fill import Fill
from rhythms.engine.takes.click_left import ClickLeft, click_left
from rhythms.engine.takes.given_grid import clearly_better, clearly_left, shifted
from rhythms.engine.takes.grid import CLICK, ESTIMATED, FILE, Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.locate import locate
from rhythms.engine.takes.recording import Recording
from rhythms.engine.takes.tempo_estimate import STATED, estimate

#: A tempo beyond these, in quarters a minute, says nothing: files have any.
_SLOWEST, _FASTEST = 10.0, 600.0
#: A tempo that is said from memory is the one that was given when it is this near, as a share.
NEAR = 0.1
#: So many times as fast as it was given may a take be counted.
_COUNTED = (1.0, 2.0, 0.5)
#: Who plays at a tempo that is this far from the given one, as a share, did not slip off it.
_NEVER_ON_IT = 0.04
#: A beat this near the given bar line, as a share of it, is that bar line: less than a 16th.
_AT_THE_LINE = 0.2


def counted_as(said: float, given: float) -> float | None:
    """How many times as fast as given a said tempo counts: 1, 2, a half; None for another tempo."""
    return next(
        (times for times in _COUNTED if abs(said - times * given) <= NEAR * times * given), None
    )


def chosen_grid(
    recording: Recording, hits: Sequence[TimedHit], meant: Fill | None, feel: Feel
) -> tuple[Grid | None, ClickLeft | None]:
    """The grid that was played to: the click's, moved to where the strokes are, unless they go
    their own way. And where they left it, if they did: then the grid goes with them.

    A tempo that somebody said leaves it where it is when it is near, or twice or half as fast: then
    it is counted so where the recording says that. Another one takes its place from the same bar
    line on. Without a click it is what the strokes are read by.
    """
    given, said = _given(recording, meant), _if_playable(recording.stated_tempo)
    if given and said and recording.counted_as_stated:
        given = _counted(given, counted_as(said, given.tempo) or 1.0)
    located = _located(recording, hits, meant, feel)
    own = located or _estimated(recording, hits, meant, feel)
    if given is None or not hits:
        return own, None
    steady, is_the_given = _steady(given, said, hits, feel)
    if own is None:
        return steady, None
    leaves = clearly_better if located else clearly_left
    is_left = leaves(own, steady, hits, feel)
    is_off = is_left and abs(own.tempo / steady.tempo - 1) > _NEVER_ON_IT
    if is_the_given and not is_off and (left := click_left(given, hits)):
        return left.grid, left
    if said and not located:
        own, is_at_the_line = _from_the_line(own, given.ms(0.0))
        if is_at_the_line and not is_the_given:
            return own, None
    if said and is_the_given and abs(steady.tempo - said) <= abs(own.tempo - said):
        return steady, None
    return (own if is_left else steady), None


def _given(recording: Recording, meant: Fill | None) -> Grid | None:
    """The grid of the click or the file, where it is one that can be played to."""
    if not recording.click or not _if_playable(recording.click[0]):
        return None
    known = FILE if recording.of_file else CLICK
    return Grid.steady(_meter(recording, meant), *recording.click, known)


def _located(
    recording: Recording, hits: Sequence[TimedHit], meant: Fill | None, feel: Feel
) -> Grid | None:
    """The grid by the fill that was meant, where that is to be found."""
    hint = _if_playable(recording.stated_tempo) or _if_playable(recording.tempo)
    return locate(meant, hits, hint, feel) if meant else None


def _estimated(
    recording: Recording, hits: Sequence[TimedHit], meant: Fill | None, feel: Feel
) -> Grid | None:
    """The grid by the strokes alone. What stands in a file need not be what was asked for."""
    meter = _meter(recording, meant)
    if said := _if_playable(recording.stated_tempo):
        return estimate(hits, meter, said, STATED, feel)
    asked = None if recording.of_file else _if_playable(recording.tempo)
    return estimate(hits, meter, asked, feel=feel)


def _steady(
    given: Grid, said: float | None, hits: Sequence[TimedHit], feel: Feel
) -> tuple[Grid, bool]:
    """The given grid, moved to the strokes; or another tempo that is said, from its bar line on.
    And whether it is the given one."""
    if said is None or counted_as(said, given.tempo):
        return shifted(hits, given, feel), True
    another = shifted(hits, _counted(given, said / given.tempo), feel)
    return replace(another, known=ESTIMATED), False


def _counted(given: Grid, times: float) -> Grid:
    """The grid counted so many times as fast, from the same bar line on."""
    return replace(given, anchors=tuple((at * times, ms) for at, ms in given.anchors))


def _from_the_line(own: Grid, line: float) -> tuple[Grid, bool]:
    """The grid with its bars counted from a bar line that was given, in ms, where it has a beat
    there; and whether it has."""
    beat = own.anchors[1][0] - own.anchors[0][0]
    at = own.quarters(line) / beat
    if abs(at - round(at)) > _AT_THE_LINE:
        return own, False
    first = round(at) * beat
    return replace(own, anchors=tuple((there - first, ms) for there, ms in own.anchors)), True


def _meter(recording: Recording, meant: Fill | None) -> Meter:
    return meant.bar.meter if meant else recording.meter


def _if_playable(tempo: float | None) -> float | None:
    return tempo if tempo and _SLOWEST <= tempo <= _FASTEST else None
