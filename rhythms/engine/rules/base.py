"""What a rule is: a JSON form, a sentence, form fields, and what it allows in a setting."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, replace
from dataclasses import fields as dataclass_fields
from typing import Any, ClassVar, NamedTuple, Protocol, Self

from rhythms.engine.bars.bar import Bar
from rhythms.engine.errors import RuleError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.fills.ostinato import Ostinato
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.surface_choice import SurfaceChoice

REGISTRY: dict[str, type[Rule]] = {}
#: What rules are for, in the order they are offered.
PURPOSES = (
    "where notes go",
    "which hand plays",
    "touch",
    "feet",
    "shape of the line",
    "the rhythm",
)


class Choice(NamedTuple):
    """One option of a form field: its JSON value and how it is shown."""

    value: str
    label: str


@dataclass(frozen=True)
class Field:
    """One part of a rule's form.

    ``kind``: "values", "surfaces", "hand surfaces" (of one hand), "choice", "number", "text", or
    "words", a list of short texts. ``least`` and ``most`` bound a number. What is ``optional`` may
    be left empty; what is ``rare`` is folded away until it says something. ``default`` is what a
    new rule starts with, ``unsaid`` what a stored one means that does not say. ``groups`` has the
    heading of each choice where there are many.
    """

    name: str
    label: str
    kind: str
    choices: tuple[Choice, ...] = ()
    default: str = ""
    help: str = ""
    least: int = 1
    most: int = 64
    optional: bool = False
    rare: bool = False
    unsaid: str = ""
    groups: tuple[str, ...] = ()


class Under(NamedTuple):
    """A foot on ``surface`` that may go under what the hands strike on one of ``on``."""

    surface: Surface
    on: frozenset[Surface]


class Opening(NamedTuple):
    """What a rule brings within reach of one note beyond plain strokes on the hand surfaces.

    ``pairs``: two surfaces, in order, that both hands may strike at once where either is in reach;
    ``under``: feet beside the hands.
    """

    feet: tuple[Surface, ...] = ()
    dynamics: tuple[str, ...] = ()
    ornaments: tuple[str | None, ...] = ()
    ways: tuple[Surface, ...] = ()
    pairs: frozenset[tuple[Surface, ...]] = frozenset()
    under: tuple[Under, ...] = ()


class Automaton(Protocol):
    """A finite automaton over the strokes of a bar, in order."""

    @property
    def start(self) -> Hashable:
        """The state before the first stroke."""

    def step(self, state: Any, index: int, stroke: Stroke) -> Hashable | None:
        """The state after ``stroke`` on note ``index``; None where it may not stand."""

    def accepts(self, state: Any) -> bool:
        """Whether a bar may end in ``state``."""

    def kind(self, index: int) -> Hashable:
        """Notes of one kind step alike, so that their transitions are worked out once."""

    def sees(self, stroke: Stroke) -> Hashable:
        """Strokes that look alike step alike, whatever the note."""

    @property
    def every_note_alike(self) -> bool:
        """Whether all notes are of one kind, on any bar."""


@dataclass(frozen=True)
class Bound:
    """A rule in a setting. ``narrow`` keeps the strokes it allows on one note."""

    narrow: Callable[[int, tuple[Stroke, ...]], tuple[Stroke, ...]] = lambda _index, strokes: (
        strokes
    )
    opens: Callable[[int], Opening] = lambda _index: Opening()
    automaton: Automaton | None = None


@dataclass(frozen=True)
class Rule(ABC):
    """A statement about the strokes of a bar. Subclasses are registered by ``name``."""

    name: ClassVar[str]
    title: ClassVar[str]
    #: What the rule is for: one of PURPOSES.
    purpose: ClassVar[str]
    fields: ClassVar[tuple[Field, ...]] = ()
    #: Rules of a lower stage change the rhythm first, whatever their order in the set.
    stage: ClassVar[int] = 0
    #: What stands over the fields that are folded away.
    fold: ClassVar[str] = "Only some of these notes"

    def __init_subclass__(cls, **kwargs: Any) -> None:
        super().__init_subclass__(**kwargs)
        # What several rules share has no name of its own.
        if cls.__dict__.get("name"):
            REGISTRY[cls.name] = cls

    @classmethod
    @abstractmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """A rule from its JSON form. Raises RuleError naming the field."""

    @abstractmethod
    def to_json(self) -> dict[str, Any]:
        """The JSON form."""

    @abstractmethod
    def sentence(self) -> str:
        """The rule as a teacher would say it."""

    def sentence_on(self, kit: Kit) -> str:
        """The sentence for whoever has this kit: it names nothing that is not there.

        "" where all that it names is missing.
        """
        values = {field.name: getattr(self, field.name) for field in dataclass_fields(self)}
        choices = {name: one for name, one in values.items() if isinstance(one, SurfaceChoice)}
        named = [Surface(one) for one in values.values() if one in list(Surface)]
        if any(one.lacks(kit) for one in choices.values()) or not all(map(kit.has, named)):
            return ""
        told = {name: one.told_on(kit) for name, one in choices.items()}
        return replace(self, **told).sentence()

    @abstractmethod
    def bind(self, setting: Setting) -> Bound:
        """What the rule allows on this bar and kit."""

    @property
    def speaks_of_hands(self) -> bool:
        """Whether hands belong to a fill's identity once this rule is in the set."""
        return False

    def reshaped(self, bar: Bar) -> Bar:
        """The rhythm that the rule makes of the bar, before any rest or stroke is looked at.

        Raises BarError where it cannot be written: then the bar stays, and `Setting` says so.
        """
        return bar

    def prepare(self, setting: Setting) -> Bar:
        """The bar as the rule has it played: a rule may put strokes on rests."""
        return setting.bar

    def given_to_feet(self, setting: Setting) -> frozenset[int]:
        """The notes that only feet may play: rules on where hands go do not speak of them."""
        return frozenset()

    def keeps_going(self, setting: Setting) -> Ostinato | None:
        """What the feet play under every fill, as part of it that is not counted."""
        return None

    def mirrored(self) -> Rule:
        """The rule for a left-handed player."""
        return self

    def lacks(self, setting: Setting) -> str:
        """Why the rule cannot hold on this bar and kit at all, in words; "" where it may."""
        return ""

    def why(self, setting: Setting, note: int | None = None) -> str:
        """Why it leaves out what it does, on one note or wherever it does, in words; mostly ""."""
        return ""

    def idle_beside(self, rules: Iterable[Rule]) -> str:
        """Why the rules of a set leave it nothing to say on any bar, in words; "" where not."""
        return ""

    @classmethod
    def check_keys(cls, data: dict[str, Any]) -> None:
        """Refuse keys that the rule does not have. Raises RuleError."""
        known = {"rule", *(field.name for field in cls.fields)}
        for key in data:
            if key not in known:
                raise RuleError(
                    f"“{key}” is not part of a {cls.name} rule; it has {', '.join(sorted(known))}.",
                    field=str(key),
                )
