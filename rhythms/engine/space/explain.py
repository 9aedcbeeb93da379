"""Which rules a fill keeps and which it breaks, note by note, in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rhythms.engine.errors import FillError
from rhythms.engine.fills.fill import HANDS, Fill, Stroke, stroke_in_words
from rhythms.engine.rules import Rule
from rhythms.engine.rules.base import Automaton, Bound
from rhythms.engine.space.fill_space import FillSpace


@dataclass(frozen=True)
class Verdict:
    """One rule on one note (``note`` None: on the fill as a whole).

    ``kept`` is None where it is unknown: the rule speaks of hands, and the hand is not known.
    """

    rule: Rule
    note: int | None
    kept: bool | None
    words: str


def explain(space: FillSpace, fill: Fill) -> tuple[Verdict, ...]:
    """Each rule of ``space`` on each note of ``fill``; the fill need not be in the space.

    Raises FillError where the fill stands on another bar.
    """
    if fill.bar != space.setting.bar:
        raise FillError("This fill is not on the bar that the rules are asked about.")
    return tuple(
        verdict for rule in space.rule_set.rules for verdict in _on_rule(space, rule, fill)
    )


def _on_rule(space: FillSpace, rule: Rule, fill: Fill) -> Iterator[Verdict]:
    bound = rule.bind(space.setting)
    broken = _broken_by_watching(rule, bound.automaton, fill)
    for index, stroke in enumerate(fill.strokes):
        kept = _kept_by_filter(bound, index, stroke)
        if broken is None:
            kept = None if kept else kept
        elif index in broken:
            kept = False
        yield Verdict(rule, index, kept, _words(space, rule, index, stroke, kept))
    if broken and len(fill.strokes) in broken:
        sentence = rule.sentence().rstrip(".")
        yield Verdict(rule, None, False, f"The fill as a whole breaks “{sentence}”.")


def _kept_by_filter(bound: Bound, index: int, stroke: Stroke) -> bool | None:
    if stroke.limb is not None or stroke.by_foot:
        return bool(bound.narrow(index, (stroke,)))
    answers = {bool(bound.narrow(index, (stroke._replace(limb=hand),))) for hand in HANDS}
    return answers.pop() if len(answers) == 1 else None


def _broken_by_watching(rule: Rule, automaton: Automaton | None, fill: Fill) -> set[int] | None:
    """The notes at which the automaton stops, one past the last where it may not end.

    None where hands are needed and not known. After a stop it starts again from that stroke.
    """
    if automaton is None:
        return set()
    if rule.speaks_of_hands and any(s.limb is None and not s.by_foot for s in fill.strokes):
        return None
    broken, state = set(), automaton.start
    for index, stroke in enumerate(fill.strokes):
        after = automaton.step(state, index, stroke)
        if after is None:
            broken.add(index)
            after = automaton.step(automaton.start, index, stroke)
        state = automaton.start if after is None else after
    if not broken and not automaton.accepts(state):
        broken.add(len(fill.strokes))
    return broken


def _words(space: FillSpace, rule: Rule, index: int, stroke: Stroke, kept: bool | None) -> str:
    verb = {True: "keeps", False: "breaks", None: "cannot be held, without hands, against"}[kept]
    count = space.setting.counts[index] or f"note {index + 1}"
    why = rule.why(space.setting, index) if kept is False else ""
    said = f"{count}, {stroke_in_words(stroke)}: {verb} “{rule.sentence().rstrip('.')}”"
    return f"{said}: {why}." if why else f"{said}."
