"""The draw on the assign page: keep, swap, redraw, until the teacher is content."""

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Self

from django.http import QueryDict

from assignments import text
from assignments.assigning.pick_fills import (
    NOBODY,
    PickContext,
    PickedRanks,
    pick_ranks,
    playable_ranks,
)
from rhythms.engine import FillSpace
from rhythms.engine.picking import Ended
from studio.forms import number_in
from studio.models import Student

#: So many of the fills that were sent away stay away while the page is open, the latest ones.
_REMEMBERED = 100
#: No space that can be counted has so many fills.
_LARGEST_RANK = 10**200


@dataclass(frozen=True)
class DrawRequest:
    """What the teacher asks of the draw: another one but for what is kept, or some swapped."""

    redraw: bool = False
    swaps: tuple[str, ...] = ()

    @classmethod
    def in_form(cls, data: QueryDict) -> Self:
        """Read the buttons that were pressed: `redraw`, or `swap` with "student rank"."""
        return cls("redraw" in data, tuple(data.getlist("swap")))

    def __bool__(self) -> bool:
        return self.redraw or bool(self.swaps)

    def sends_away(self, student: Student) -> set[int]:
        """Return the numbers that are to be swapped for this student."""
        swaps = (swap.partition(" ") for swap in self.swaps)
        return set(_numbers(rank for whom, _, rank in swaps if whom == str(student.pk)))


@dataclass(frozen=True)
class PostedDraw:
    """What the page showed for one student: the numbers drawn, which are kept, of which space;
    and `gone`, those that were sent away before.
    """

    space_key: str = ""
    ranks: tuple[int, ...] = ()
    kept: frozenset[int] = frozenset()
    gone: tuple[int, ...] = ()

    @classmethod
    def in_form(cls, data: QueryDict, student: Student) -> Self:
        """Read it from the hidden fields; what is no number was not on the page."""
        return cls(
            data.get(f"space-{student.pk}", ""),
            tuple(dict.fromkeys(_numbers(data.getlist(f"fill-{student.pk}")))),
            frozenset(_numbers(data.getlist(f"keep-{student.pk}"))),
            tuple(_numbers(data.get(f"gone-{student.pk}", "").split())),
        )

    def after(self, wish: DrawRequest, student: Student) -> list[int | None]:
        """Return the places of the draw with what stays in them; None where a new fill goes."""
        gone = self._sent_away(wish, student)
        return [None if rank in gone else rank for rank in self.ranks]

    def gone_after(self, wish: DrawRequest, student: Student) -> tuple[int, ...]:
        """Return all that was sent away so far, the latest last."""
        now = self._sent_away(wish, student)
        return (*self.gone, *(rank for rank in self.ranks if rank in now))[-_REMEMBERED:]

    def _sent_away(self, wish: DrawRequest, student: Student) -> set[int]:
        others = set(self.ranks) - self.kept if wish.redraw else set()
        return wish.sends_away(student) | others


@dataclass(frozen=True)
class Draw:
    """The fills drawn for one student, of all those in their space that they do not have yet.

    `otherwise` are those whose strokes they have with other feet or another feel, in the order in
    which they are offered: where nothing newer is left, or with `again` alone.
    """

    student: Student
    space: FillSpace
    had: frozenset[int]
    asked: int
    ranks: tuple[int, ...] = ()
    kept: frozenset[int] = frozenset()
    gone: tuple[int, ...] = ()
    player: PickContext = NOBODY
    ended: Ended = Ended.ENOUGH
    otherwise: tuple[int, ...] = ()
    again: bool = False

    @property
    def key(self) -> str:
        """Changes whenever the numbers would stand for other fills, or others are asked for."""
        return f"{key_of(self.space)}{'-again' if self.again else ''}"

    def offers(self, rank: int | None) -> bool:
        """Whether the fill with this number may be given to the student."""
        if self.again and rank not in self.otherwise:
            return False
        return rank is not None and rank < self.space.size and rank not in self.had

    @property
    def _offered(self) -> int:
        return len(self.otherwise) if self.again else self.space.size - len(self.had)

    @property
    def is_all_there_is(self) -> bool:
        """Whether there is nothing to swap a fill for."""
        return len(self.ranks) >= self._offered

    @property
    def _too_fast(self) -> str:
        """None is left, or it was given up: then there may be others."""
        kind = "known fill" if self.again else "new fill"
        found = text.count(len(self.ranks), kind) if self.ranks else f"no {kind}"
        if self.ended is Ended.NONE_LEFT:
            only = f"only {found}" if self.ranks else found
            return f"{only.capitalize()} can be played at {self.player.tempo}. Try a slower tempo."
        were = "were" if len(self.ranks) > 1 else "was"
        return (
            f"{found.capitalize()} {were} found that can be played at {self.player.tempo}; most "
            "cannot. Try a slower tempo, or draw others."
        )

    @property
    def shortage(self) -> str:
        """Why there are fewer fills than were asked for; "" where there are not."""
        if len(self.ranks) >= self.asked:
            return ""
        if len(self.ranks) < self._offered:
            return self._too_fast
        if not self.ranks:
            return ""
        there_are = text.count(self._offered if self.again else self.space.size, "fill")
        shown = "It is shown." if self._offered == 1 else "All are shown."
        if self.again:
            return f"{self.student} knows the strokes of only {there_are} here. {shown}"
        if not self.had:
            return f"This bar and rule set allow only {there_are} here. {shown}"
        had = f"{self.student} has {len(self.had)} of the {there_are}"
        return f"{had} already. What is left is shown."


def filled_in(blank: Draw, shown: PostedDraw, wish: DrawRequest, seed: int) -> Draw:
    """Return the draw with what stays of what was shown, and new fills in the other places.

    The same form and button give the same draw. A fill that was sent away comes back only
    where nothing else is left.
    """
    if shown.space_key != blank.key:
        shown = PostedDraw()
    places = [rank if blank.offers(rank) else None for rank in shown.after(wish, blank.student)]
    gone = shown.gone_after(wish, blank.student)
    ranks, ended = _filled(
        _fitted(places, blank.asked, shown.kept), blank, (*gone, *shown.ranks), seed
    )
    kept = shown.kept & frozenset(ranks)
    return replace(blank, ranks=ranks, kept=kept, gone=gone, ended=ended)


def _fitted(places: list[int | None], n: int, kept: frozenset[int]) -> list[int | None]:
    """Bring the places to `n`: what is not kept goes first, from the end."""
    by_worth = sorted(range(len(places)), key=lambda at: (places[at] not in kept, at))
    staying = [places[at] for at in sorted(by_worth[:n])]
    return staying + [None] * (n - len(staying))


def _filled(places: list[int | None], blank: Draw, seen: Iterable[int], seed: int) -> PickedRanks:
    stay = [rank for rank in places if rank is not None]
    own_seed = f"{seed} {blank.student.pk}"
    sent_away = [rank for rank in seen if rank not in stay and blank.offers(rank)]
    new, ended = _chosen(blank, len(places), own_seed, stay, sent_away)
    if len(new) < len(places):
        new, ended = _chosen(blank, len(places), own_seed, new, [])
    fresh = iter(new[len(stay) :])
    filled = (next(fresh, None) if rank is None else rank for rank in places)
    return PickedRanks(tuple(rank for rank in filled if rank is not None), ended)


def _chosen(
    blank: Draw, n: int, seed: str, keep: Sequence[int], sent_away: Sequence[int]
) -> PickedRanks:
    if len(keep) >= n:
        return PickedRanks(tuple(keep))
    gone = [rank for rank in (*sent_away, *blank.had) if rank < blank.space.size]
    new = PickedRanks(tuple(keep))
    if not blank.again:
        new = pick_ranks(blank.space, n, blank.player, seed, keep, gone)
    known = [rank for rank in blank.otherwise if rank not in gone]
    if len(new.ranks) >= n or not (known or blank.again):
        return new
    filled = playable_ranks(blank.space, n, blank.player, new.ranks, known)
    given_up = new.ended is Ended.GIVEN_UP and filled.ended is not Ended.ENOUGH
    return PickedRanks(filled.ranks, Ended.GIVEN_UP if given_up else filled.ended)


def key_of(space: FillSpace) -> str:
    """Return a short hash of all that numbers the fills of a space."""
    parts = [space.bar.to_json(), space.rule_set.to_json(), space.kit.to_json()]
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()[:16]


def what_will_happen(draws: Iterable[Draw]) -> str:
    """Return the words of the button: `Assign 3 fills to Mira`, `… each to Mira and Tom`."""
    numbers = {draw.student.nickname: len(draw.ranks) for draw in draws}
    if len(numbers) > 3:
        return f"Assign {text.count(sum(numbers.values()), 'fill')} to {len(numbers)} students"
    if len(set(numbers.values())) == 1:
        each = " each" if len(numbers) > 1 else ""
        number = text.count(next(iter(numbers.values())), "fill")
        return f"Assign {number}{each} to {text.listed(list(numbers))}"
    to_each = [f"{text.count(number, 'fill')} to {name}" for name, number in numbers.items()]
    return f"Assign {text.listed(to_each)}"


def _numbers(texts: Iterable[str]) -> Iterable[int]:
    """Yield those that are numbers from 0 up, of a length that a rank may have."""
    found = (number_in(text, _LARGEST_RANK) for text in texts)
    return (number for number in found if number is not None)
