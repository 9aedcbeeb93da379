"""Which rules a take kept, by `explain`, as far as strokes without hands can tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rhythms.engine.fills.fill import Fill, Hit, Stroke, open_hand, stroke_of
from rhythms.engine.kits.surfaces import PLAIN, Surface, base
from rhythms.engine.rules import Rule
from rhythms.engine.space.explain import Verdict, explain
from rhythms.engine.space.fill_space import FillSpace
from rhythms.engine.takes.attempt_result import MISSED, RIGHT, Attempt, HitResult, NoteResult
from rhythms.engine.takes.touch_levels import TouchLevels

_TOUCH = "touch"
_SHAPE = "shape of the line"
#: Of the rules about touch this one can be heard; a grace note is too easily lost by a pad.
_DYNAMICS = "dynamics"


@dataclass(frozen=True)
class Kept:
    """One rule over all attempts: on how many notes kept, broken, and unknown.

    ``words`` say where it was broken, each place once.
    """

    sentence: str
    kept: int
    broken: int
    unknown: int
    words: tuple[str, ...]


def rules_kept(
    space: FillSpace, meant: Fill, attempts: Sequence[Attempt], touch: TouchLevels
) -> tuple[Kept, ...]:
    """Each rule of the space on what was struck; () where the fill is not on the space's bar.

    Nobody saw the hands: rules about them are left out. Those about touch stay open where all
    strokes are caught alike. A line with a note missing is not judged as a line.
    """
    if meant.bar != space.setting.bar:
        return ()
    told = [rule for rule in space.rule_set.rules if not rule.speaks_of_hands]
    found: dict[Rule, list[Verdict]] = {rule: [] for rule in told}
    for one in attempts:
        for verdict in _verdicts(space, meant, one, touch):
            if verdict.rule in found:
                found[verdict.rule].append(verdict)
    return tuple(_summed(rule, verdicts) for rule, verdicts in found.items())


def _verdicts(space: FillSpace, meant: Fill, one: Attempt, touch: TouchLevels) -> Iterator[Verdict]:
    missed = {note.note for note in one.notes if note.outcome == MISSED}
    for verdict in explain(space, struck(meant, one, touch)):
        if verdict.note in missed or (missed and verdict.rule.purpose == _SHAPE):
            continue
        is_known = verdict.rule.purpose != _TOUCH or (
            verdict.rule.name == _DYNAMICS and touch.varies
        )
        yield verdict if is_known else Verdict(verdict.rule, verdict.note, None, verdict.words)


def struck(meant: Fill, one: Attempt, touch: TouchLevels) -> Fill:
    """The fill as it came out: its surfaces, its touch where strokes differ in it, no hands.

    A missed hit stands as it was meant, and what was struck on its drum in whatever way.
    """
    strokes = (
        _came_out(open_hand(stroke), note, touch)
        for stroke, note in zip(meant.strokes, one.notes, strict=True)
    )
    return Fill(meant.bar, tuple(strokes), meant.ostinato)


def _came_out(stroke: Stroke, note: NoteResult, touch: TouchLevels) -> Stroke:
    hits: dict[Surface, Hit] = {}
    for hit, result in zip(stroke.hits, note.hits, strict=True):
        played = _as_played(hit, result, touch)
        # On one drum two hands are one stroke here.
        hits.setdefault(base(played.surface), played)
    hands = [hit.surface for hit in hits.values() if not hit.by_foot]
    plain = len(hands) != 1 or hands[0] in PLAIN
    return stroke_of(hits.values(), None if plain else stroke.ornament)


def _as_played(hit: Hit, result: HitResult, touch: TouchLevels) -> Hit:
    if result.played is None:
        return hit
    surface = hit.surface if result.outcome == RIGHT else result.played
    levels = touch.on(surface)
    dynamic = levels.dynamic(result.velocity) if levels.varies else hit.dynamic
    return Hit(surface, hit.limb, dynamic)


def _summed(rule: Rule, verdicts: Sequence[Verdict]) -> Kept:
    broken = [verdict.words for verdict in verdicts if verdict.kept is False]
    return Kept(
        rule.sentence(),
        sum(verdict.kept is True for verdict in verdicts),
        len(broken),
        sum(verdict.kept is None for verdict in verdicts),
        tuple(dict.fromkeys(broken)),
    )
