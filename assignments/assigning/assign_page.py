"""The assign page as far as it is filled in: what is chosen, what that allows, what is drawn."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from secrets import randbelow
from typing import Any, NamedTuple

from django.core.exceptions import ValidationError
from django.http import QueryDict

from assignments import text
from assignments.assigning.assign import engravings_of, held_by
from assignments.assigning.dial_examples import DialExample, dial_examples
from assignments.assigning.fill_draw import (
    Draw,
    DrawRequest,
    PostedDraw,
    filled_in,
    what_will_happen,
)
from assignments.assigning.fills_had import (
    FillHad,
    RanksHad,
    fills_had,
    known_otherwise,
    ranks_in,
)
from assignments.assigning.forms import AGAIN, DEFAULTS, MOST_AT_ONCE, TOO_MANY, AssignForm
from assignments.assigning.pick_fills import (
    SLOWEST,
    PickContext,
    effort_in_words,
    hands_in_words,
    reason,
)
from assignments.comfort.comfort_zones import favourites
from assignments.comfort.way_out_wishes import way_out_wishes
from assignments.models.assignment import last_beats
from rhythms.engine import Bar, Fill, FillSpace, Kit
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.fills.hands import StickingStyle
from rhythms.engine.picking import Held, appraise
from rhythms.engine.prior.drawing import DIALS
from rhythms.engine.prior.human_prior import Prior
from rhythms.fill_spaces import space_for, spaces_for
from rhythms.models import Rendering, RuleSet, SourceBar
from rhythms.renderings.rendering_store import rendering_for
from rhythms.space_sizes import CountsOfAPage, in_words, sizes_in_words
from rhythms.style.own_playing import prior_of, style_of
from studio.forms import number_in
from studio.models import Student, Studio

_SEEDS = 2**32
#: A draw needs these without an error.
_NEEDED = {"bar", "beats", "rule_set", "students", "how_many", "strokes"}
_TOO_MANY_KITS = "These rules on so many kits are too much to count at once. Choose fewer students."


class Size(NamedTuple):
    """How many fills there are, and on which kit."""

    where: str
    words: str


class Card(NamedTuple):
    """One drawn fill on the page: its number counted from 1, whether it is kept, and why it."""

    rank: int
    number: int
    kept: bool
    reason: str
    effort: str
    hands: str
    rendering: Rendering

    @property
    def fill(self) -> Fill:
        """The fill, to be heard."""
        return self.rendering.fill


@dataclass(frozen=True)
class StudentCards:
    """What was drawn for one student, ready to be shown."""

    draw: Draw
    cards: tuple[Card, ...]


class AssignPage:
    """`complete` when it is to be assigned: then every gap is an error."""

    def __init__(
        self, studio: Studio, data: QueryDict, today: date, *, complete: bool = False
    ) -> None:
        self.wish = DrawRequest.in_form(data)
        self.form = AssignForm(data, studio=studio, today=today, complete=complete)
        self.form.full_clean()
        chosen = self.form.cleaned_data
        self.dial: str = chosen.get("dial") or DEFAULTS["dial"]
        if data.get("drawn-as", self.dial) != self.dial:
            self.wish = replace(self.wish, redraw=True)
        self.seed = _seed_in(data) + bool(self.wish)
        self.bar: Bar | None = _bar_in(chosen)
        self.rule_set: RuleSet | None = chosen.get("rule_set")
        self.students: Sequence[Student] = chosen.get("students") or ()
        self._again = chosen.get("strokes") == AGAIN
        self._studio = studio
        self._data = data
        self._counts = CountsOfAPage()
        self._check_spaces()

    @classmethod
    def blank(cls, studio: Studio, chosen: QueryDict, today: date) -> "AssignPage":
        """A page that is opened, with what its address chooses already."""
        data = chosen.copy()
        for name, value in (DEFAULTS | {"sticking": style_of(studio).sticking}).items():
            data.setdefault(name, value)
        return cls(studio, data, today)

    @cached_property
    def _counted(self) -> tuple[dict[Student, FillSpace], dict[Student, str]]:
        """Every chosen student's space, and for those too large to count, what to do about it."""
        if not (self.bar and self.rule_set):
            return {}, {}
        spaces = spaces_for(self.bar, self.rule_set, self.students)
        refused = {
            space: self._counts.refusal(space, _TOO_MANY_KITS)
            for space in dict.fromkeys(spaces.values())
        }
        counted = {student: space for student, space in spaces.items() if not refused[space]}
        too_large = {student: refused[space] for student, space in spaces.items() if refused[space]}
        return counted, too_large

    @property
    def spaces(self) -> dict[Student, FillSpace]:
        """Every chosen student's space; empty until bar and rule set are chosen."""
        return self._counted[0]

    @cached_property
    def known(self) -> dict[Student, tuple[FillHad, ...]]:
        """The fills that each chosen student has, the newest first."""
        return fills_had(self.spaces) if self.spaces else {}

    @cached_property
    def favourites(self) -> dict[Student, tuple[Fill, ...]]:
        """The fills that each chosen student falls back on."""
        return favourites(self.spaces)

    @cached_property
    def held(self) -> dict[Student, tuple[Held, ...]]:
        """The fills that each chosen student has mastered, and at which tempo."""
        return held_by(self.spaces) if self.spaces else {}

    @cached_property
    def wishes(self) -> dict[Student, WayOutWish]:
        """How fills are drawn that lead each student out of their comfort zone, where they are."""
        return way_out_wishes(self.spaces) if self.form.cleaned_data.get("away") else {}

    @property
    def away_text(self) -> str:
        """Whose comfort zone the fills lead out of, and how; "" where that is not asked for or not
        known."""
        names = [student.nickname for student in self.wishes]
        if not names:
            return ""
        falls = "falls" if len(names) == 1 else "fall"
        said = f"Drawn to lead away from what {text.listed(names)} {falls} back on"
        if len(names) == 1:
            (wish,) = self.wishes.values()
            return f"{said}: {wish.change.words('their')}."
        ways = (f"{who}, {wish.change.words('their')}" for who, wish in self.wishes.items())
        return f"{said}. {'; '.join(ways)}."

    @cached_property
    def had(self) -> dict[Student, RanksHad]:
        """The numbers of those of them whose strokes are in the student's space."""
        return {
            student: ranks_in(space, self.known[student], self.form.feel)
            for student, space in self.spaces.items()
        }

    @property
    def tempo(self) -> int:
        """The tempo asked for; a slow one while there is none."""
        return self.form.cleaned_data.get("tempo") or SLOWEST

    @cached_property
    def prior(self) -> Prior:
        """What drummers play, and the studio's teachers."""
        return prior_of(self._studio)

    @property
    def sticking(self) -> StickingStyle:
        """How hands that no rule fixes are printed."""
        return StickingStyle(self.form.cleaned_data.get("sticking") or StickingStyle.AS_TAUGHT)

    @cached_property
    def draws(self) -> tuple[Draw, ...]:
        """What is drawn for each student; empty until all that a draw needs is there."""
        n = self.form.cleaned_data.get("how_many")
        if not n or _NEEDED & self.form.errors.keys():
            return ()
        return tuple(
            filled_in(
                self._blank(student, space, n),
                PostedDraw.in_form(self._data, student),
                self.wish,
                self.seed,
            )
            for student, space in self.spaces.items()
        )

    def _blank(self, student: Student, space: FillSpace, n: int) -> Draw:
        known = (*self.favourites[student], *(one.fill for one in self.known[student]))
        dial, held, feel = DIALS[self.dial], self.held[student], self.form.feel
        player = PickContext(
            known, self.tempo, dial, self.prior, held, feel, self.wishes.get(student)
        )
        had = self.had[student]
        otherwise = tuple(had.otherwise)
        return Draw(
            student, space, had.theirs, n, player=player, otherwise=otherwise, again=self._again
        )

    @property
    def has_others(self) -> bool:
        """Whether any student could get other fills than these."""
        return not all(draw.is_all_there_is for draw in self.draws)

    @property
    def is_as_shown(self) -> bool:
        """Whether the teacher has seen exactly these fills."""
        shown = [PostedDraw.in_form(self._data, draw.student) for draw in self.draws]
        return all(
            seen.ranks == draw.ranks and seen.space_key == draw.key
            for seen, draw in zip(shown, self.draws, strict=True)
        )

    @cached_property
    def hands(self) -> tuple[StudentCards, ...]:
        """The draws with their notation, and why each fill is among them."""
        fills = [draw.space.fill(rank) for draw in self.draws for rank in draw.ranks]
        kits = [draw.space.kit for draw in self.draws for _ in draw.ranks]
        engraved = engravings_of(fills, kits, self.tempo, self.sticking, self.form.feel)
        drawn = iter(zip(fills, engraved, strict=True))
        return tuple(
            StudentCards(draw, tuple(self._card(draw, rank, *next(drawn)) for rank in draw.ranks))
            for draw in self.draws
        )

    def _card(self, draw: Draw, rank: int, fill: Fill, rendering: Rendering) -> Card:
        known, kit = draw.player.known, draw.space.kit
        held, feel = draw.player.held, draw.player.feel
        had = self.had[draw.student].otherwise.get(rank)
        otherwise = known_otherwise(had, draw.space, feel) if had else ""
        one = appraise(fill, kit, known, self.tempo, self.sticking, held, feel)
        return Card(
            rank,
            rank + 1,
            rank in draw.kept,
            reason(one, self.tempo, first=not known, otherwise=otherwise, wish=draw.player.wish),
            effort_in_words(one, self.tempo),
            hands_in_words(one),
            rendering,
        )

    @cached_property
    def dial_examples(self) -> tuple[DialExample, ...]:
        """What each setting sounds like, on the first student's kit or a standard one."""
        radios = self.form["dial"].subwidgets
        space = next(iter(self.spaces.values()), None)
        if space is None and self.bar and self.rule_set and not self.students:
            space = space_for(self.bar, self.rule_set, Kit.standard())
        return dial_examples(radios, space, self.tempo, self.prior, self.form.feel)

    @property
    def button(self) -> str:
        """What will happen, in words; "" while there is nothing to assign."""
        return what_will_happen(self.draws) if self.draws else ""

    @cached_property
    def engraved_bar(self) -> Rendering | None:
        """The chosen bar as it is learnt: on the snare, with its count line."""
        return rendering_for(snare_fill(self.bar), counts=True) if self.bar else None

    @cached_property
    def sizes(self) -> list[Size]:
        """The size of the space on each kit that is played; on a standard kit before that."""
        if not self.bar or not self.rule_set:
            return []
        if not self.students:
            return [
                Size("On a standard kit", self._size_on_a_standard_kit(self.bar, self.rule_set))
            ]
        by_kit = {student.kit: space.size for student, space in self.spaces.items()}
        return [Size(f"On the kit “{kit.name}”", in_words(size)) for kit, size in by_kit.items()]

    @property
    def _looks_at_each(self) -> bool:
        """Whether what each student has is read: not of more than can be drawn for."""
        too_many = self.form.has_error("how_many", TOO_MANY)
        return not too_many and len(self.students) <= MOST_AT_ONCE

    @staticmethod
    def _size_on_a_standard_kit(bar: Bar, rule_set: RuleSet) -> str:
        (said,) = sizes_in_words([space_for(bar, rule_set, Kit.standard())])
        return said

    def _check_spaces(self) -> None:
        """Say by the rule set whose space is empty, and why; one sentence a kit. And by the strokes
        who knows none that would be played otherwise."""
        reasons: dict[str, list[Student]] = {}
        strangers: list[Student] = []
        for student, why in self._counted[1].items():
            reasons.setdefault(why, []).append(student)
        clashes = {
            space: self._counts.clash(space) for space in dict.fromkeys(self.spaces.values())
        }
        for student, space in self.spaces.items():
            if not space.size:
                reasons.setdefault(clashes[space], []).append(student)
            elif self._looks_at_each and space.size == len(self.had[student].theirs):
                reasons.setdefault(_has_them_all(space.size), []).append(student)
            elif self._looks_at_each and self._again and not self.had[student].otherwise:
                strangers.append(student)
        for why, students in reasons.items():
            self.form.add_error("rule_set", _no_fill(students, why))
        if strangers:
            self.form.add_error("strokes", _no_fill(strangers, _NOTHING_KNOWN))


_NOTHING_KNOWN = (
    "They know no strokes of this bar that these rules would put over other feet, or this swing "
    "into another feel. Choose new strokes, other feet or another swing."
)


def _bar_in(chosen: Mapping[str, Any]) -> Bar | None:
    """The bar that was chosen, or its last beats."""
    bar: SourceBar | None = chosen.get("bar")
    return last_beats(bar, chosen.get("beats")) if bar else None


def _no_fill(students: Iterable[Student], reason: str) -> ValidationError:
    names = text.listed([student.nickname for student in students])
    return ValidationError(
        "No fill for %(names)s. %(reason)s",
        code="no-fill",
        params={"names": names, "reason": reason},
    )


def _has_them_all(size: int) -> str:
    theirs = "The only fill of this bar and rule set is" if size == 1 else f"All {size} fills are"
    return f"{theirs} theirs already. Choose another bar or rule set."


def _seed_in(data: QueryDict) -> int:
    """Return the seed of the form; a new page gets a new one."""
    seed = number_in(data.get("seed", ""))
    return randbelow(_SEEDS) if seed is None else seed
