"""A take in words and marks, as its page shows it."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from assignments import text
from assignments.models import Take
from assignments.takes.feel_report import against, swing_in_words
from assignments.takes.take_advice import AdviceShown, advice_of
from assignments.takes.tempo_report import (
    CountQuestion,
    count_question,
    grid_in_words,
    left_in_words,
)
from rhythms.engine import Fill, Surface
from rhythms.engine.bars.spoken_counts import place_names
from rhythms.engine.fills.fill import Stroke, open_hand, stroke_in_words
from rhythms.engine.kits.surfaces import WAYS, called
from rhythms.engine.takes import (
    ESTIMATED,
    FILE,
    MISSED,
    MOST_MS,
    MOST_STROKES,
    RIGHT,
    WRONG,
)
from rhythms.engine.takes.groove_heard import OTHER_GROOVE
from rhythms.notation.engraving.marking import Outcome, marked
from rhythms.notation.staff_placement import PLACEMENTS
from rhythms.renderings.rendering_store import markup

#: Of one take so many attempts are drawn; the others have a line each.
MOST_DRAWN = 6
_GROUPS_APART = 8.0
OUTCOMES = {
    RIGHT: "right",
    WRONG: "on another surface",
    MISSED: "missed",
    "extra": "too much",
}


@dataclass(frozen=True)
class AttemptShown:
    """One time the fill was played: its marked engraving, and what went wrong, in words."""

    number: int
    right: int
    of: int
    drawing: SafeString | None
    errors: list[str]
    feet: str = ""


class Report:
    """What a take that was looked at says, for its page."""

    def __init__(self, take: Take) -> None:
        self.take = take
        self.found: dict[str, Any] = take.analysis or {}

    @cached_property
    def attempts(self) -> list[AttemptShown]:
        """Each time the fill was found, the first ones drawn."""
        return [self._shown(number, one) for number, one in enumerate(self._attempts, start=1)]

    @property
    def _attempts(self) -> list[dict[str, Any]]:
        return self.found.get("attempts", []) if self.take.variation else []

    @cached_property
    def advice(self) -> AdviceShown | None:
        """The one thing to say of it, and what to play again."""
        return advice_of(self.take)

    @property
    def answers(self) -> int:
        """How often something was played where the fill is left open."""
        return self.found.get("answers", 0) if self._attempts else 0

    @property
    def tally(self) -> list[tuple[str, str, int]]:
        """Outcome, its words, how often, over all attempts."""
        count = Counter(note["outcome"] for one in self._attempts for note in one["notes"])
        count["extra"] = sum(len(one["extras"]) for one in self._attempts)
        return [(name, words, count[name]) for name, words in OUTCOMES.items()]

    @property
    def unread(self) -> str:
        """How far a take is read that is longer than what is read; "" where all of it is."""
        rest = self.found.get("unread", 0)
        if not rest:
            return ""
        are = "is" if rest == 1 else "are"
        return (
            f"A take is read up to {MOST_STROKES:,} strokes and {MOST_MS // 60_000} minutes. "
            f"The {text.count(rest, 'stroke')} after that {are} kept, but not looked at."
        )

    @property
    def has_tempo(self) -> bool:
        """Whether there is a tempo that somebody may say is another one."""
        return bool(self.found.get("grid") or self.take.said_tempo)

    @property
    def grid(self) -> str:
        """Where the bar lines are from, in a sentence."""
        return grid_in_words(self.take, self.found)

    @property
    def left(self) -> str:
        """Where it left the click, in sentences; "" where it did not."""
        return left_in_words(self.take, self.found)

    @property
    def count_question(self) -> CountQuestion | None:
        """What is asked about how it is counted."""
        return count_question(self.take)

    @property
    def timing(self) -> list[str]:
        """How steady, and early or late, as far as that is known; in sentences."""
        timing = self.found.get("timing")
        if not timing:
            return []
        if not timing["band"]:
            return ["Too few strokes to say how steady they are."]
        band = f"{timing['band']} or better" if timing["at_least"] else timing["band"]
        sentences = [f"{band.capitalize()}: the strokes spread by {timing['spread']:.0f} ms."]
        if timing["at_least"]:
            sentences.append(f"This device itself is unsteady by {self.take.jitter:g} ms.")
        swing = swing_in_words(self.found, said=self.take.feel is not None)
        return [*sentences, *self._early_or_late(timing), *swing]

    def _early_or_late(self, timing: dict[str, Any]) -> list[str]:
        grid = self.found.get("grid") or {}
        if self.left:
            return []
        if grid.get("known") in (ESTIMATED, FILE):
            return ["Early or late can only be said against a click that was heard here."]
        if not timing["verdict"]:
            return ["Whether that is early or late is not said: this device was never measured."]
        if timing["verdict"] == "on the click":
            return [f"In the middle they are on the click{against(self.found, ', held')}."]
        late = f"{abs(timing['bias']):.0f} ms {timing['verdict']}"
        return [f"In the middle they are {late}{against(self.found)}."]

    @property
    def groups(self) -> list[dict[str, Any]]:
        """Each limb and value class against the middle of all, where there are strokes enough."""
        return [group | {"apart": _apart(group["bias"])} for group in self.found.get("groups", [])]

    @property
    def rules(self) -> list[dict[str, Any]]:
        """Each rule, on how many notes it was kept, and where not."""
        return [rule | {"outcome": _kept(rule)} for rule in self.found.get("kept", [])]

    @property
    def unknown(self) -> list[str]:
        """Keys that mean nothing yet."""
        return [
            f"{key} ({text.count(count, 'stroke')})"
            for key, count in self.found.get("unknown", {}).items()
        ]

    @property
    def bars(self) -> str:
        """How much groove and how many fills were found in a free take."""
        groove, fills = len(self.found.get("groove_bars", [])), len(self.take.fills)
        if not (groove or fills):
            return "No groove and no fill was made out."
        of_groove = [f"{text.count(groove, 'bar')} of groove"] if groove else []
        return f"{', '.join([*of_groove, text.count(fills, 'fill')])}."

    @property
    def groove(self) -> str:
        """With which groove or style it was played, in a sentence; "" where nobody can say."""
        if said := self.take.said_groove or self.take.said_style:
            return f"Played with {said}, as was said."
        heard = self.take.groove_heard
        if heard == OTHER_GROOVE:
            return "The groove is none of those that are known here."
        return f"The groove is most like {heard}." if heard else ""

    def _shown(self, number: int, one: dict[str, Any]) -> AttemptShown:
        variation = self.take.variation
        assert variation is not None  # noqa: S101 - an attempt is at a fill
        fill, notes = variation.as_fill, one["notes"]
        outcomes = [note["outcome"] for note in notes]
        marks = [_of_each_hit(note) for note in notes]
        drawing = self._drawing(number, marks) if number <= MOST_DRAWN else None
        right = outcomes.count(RIGHT)
        return AttemptShown(
            number, right, len(notes), drawing, _errors(fill, one), _feet(fill, one)
        )

    def _drawing(self, number: int, outcomes: Sequence[Outcome]) -> SafeString | None:
        variation = self.take.variation
        drawing = markup(variation.rendering) if variation else None
        if drawing is None or variation is None:
            return None
        own = f"r{variation.rendering.key[:12]}"
        # Each attempt draws the same fill: its ids must be its own on the page.
        drawing = drawing.replace(own, f"a{number}{own}")
        return mark_safe(marked(drawing, f"a{number}{own}", outcomes))  # noqa: S308 - ours


def _of_each_hit(note: dict[str, Any]) -> Outcome:
    if "hits" not in note:
        return str(note["outcome"])
    return {Surface(hit["surface"]): hit["outcome"] for hit in note["hits"]}


def _errors(fill: Fill, one: dict[str, Any]) -> list[str]:
    onsets = tuple(note.onset for note in fill.bar.sounded)
    counts = place_names(onsets, fill.bar.meter)
    sentences = [
        f"{counts[index] or f'note {index + 1}'}: {words}"
        for index, (note, stroke) in enumerate(zip(one["notes"], fill.strokes, strict=True))
        for words in _of_a_note(note, stroke)
    ]
    return sentences + [_extra(fill, extra) for extra in one["extras"]]


def _of_a_note(note: dict[str, Any], stroke: Stroke) -> Iterator[str]:
    """What went wrong, hit by hit; nothing of it where all came."""
    hits = note.get("hits") or [note | {"surface": str(stroke.surface)}]
    if all(hit["outcome"] == MISSED for hit in hits):
        meant = stroke_in_words(open_hand(stroke))  # nobody saw which hand
        yield f"{meant} missed{_astray(hits[0]['astray'])}"
        return
    for hit in hits:
        if hit["outcome"] == MISSED:
            yield f"{called(hit['surface'])} missed{_astray(hit['astray'])}"
        elif hit["outcome"] == WRONG or _in_another_way(hit["surface"], hit["played"]):
            yield f"{called(hit['played'])} instead of {called(hit['surface'])}"


def _in_another_way(meant: str, played: str) -> bool:
    """Whether a drum was struck otherwise than asked; what has one key is not told apart."""
    keys = [PLACEMENTS[Surface(name)].key for name in (meant, played)]
    return meant in WAYS and keys[0] != keys[1]


def _feet(fill: Fill, one: dict[str, Any]) -> str:
    """How the feet kept going, and where they did not; "" where none were to."""
    feet = one.get("feet", [])
    if not feet:
        return ""
    missed = [foot for foot in feet if foot["outcome"] == MISSED]
    onsets = tuple(Fraction(foot["quarters"]).limit_denominator(24) for foot in missed)
    places = zip(missed, place_names(onsets, fill.bar.meter), strict=True)
    where = [f"{called(foot['surface'])} missed at {name}" for foot, name in places]
    kept = f"The feet kept going: {len(feet) - len(missed)} of {len(feet)}"
    return f"{kept}{''.join(f', {words}' for words in where)}."


def _astray(ms: float | None) -> str:
    if ms is None:
        return ""
    return f", or {abs(ms):.0f} ms too {'late' if ms > 0 else 'early'}"


def _extra(fill: Fill, extra: dict[str, Any]) -> str:
    at = max(Fraction(0), Fraction(extra["quarters"]).limit_denominator(24))
    beat = fill.bar.meter.beat_at(min(at, fill.bar.meter.length - Fraction(1, 24)))
    return f"in beat {beat.number}: {called(extra['surface'])} too much"


def _apart(bias: float) -> str:
    """Against the middle of all strokes; less than can be heard in a run is left out."""
    if abs(bias) < _GROUPS_APART:
        return "with the others"
    return f"{abs(bias):.0f} ms {'behind' if bias > 0 else 'before'} the others"


def _kept(rule: dict[str, Any]) -> str:
    judged = rule["kept"] + rule["broken"]
    if not judged:
        return "cannot be told from these strokes"
    if not rule["broken"]:
        return "kept throughout"
    return f"broken on {rule['broken']} of {judged} notes"
