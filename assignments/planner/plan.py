"""The practice of one day: which pieces in which order, at which tempo, how many loops of each.

The shares follow what is known of practice (sources in `__init__`): loosen up, play one
thing cold that should hold, work at one thing in one block, then let it take turns with known
ones, or, where the teacher has set so, play those one after the other.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction

from assignments.planner.easier import Easier, easier
from assignments.planner.history import Piece, Record, Sitting, records
from assignments.planner.piece_selection import PieceSelection, select_pieces
from assignments.planner.tempo import begin_tempo, next_tempo

LEAST_MINUTES, MOST_MINUTES = 1, 60
#: More rounds of turns than this are more stopping than playing.
MOST_ROUNDS = 2


class PlanPart(StrEnum):
    """What an item of the plan is there for."""

    LOOSEN_UP = "loosen up"
    CHECK = "re-check"
    NEW = "new"
    WORK = "work"
    TURN = "turn"


_WORKED_AT = (PlanPart.WORK, PlanPart.TURN)
_SHARES = {
    PlanPart.LOOSEN_UP: 1,
    PlanPart.CHECK: 2,
    PlanPart.NEW: 4,
    PlanPart.WORK: 4,
    PlanPart.TURN: 3,
}


@dataclass(frozen=True)
class Item:
    """So many loops of one piece's block at a tempo; `groove_alone` leaves its fill out, `easier`
    takes another one in its place."""

    part: PlanPart
    piece: Piece
    tempo: int
    loops: int = 0
    groove_alone: bool = False
    easier: Easier | None = field(default=None, compare=False)

    @property
    def block_seconds(self) -> Fraction:
        """How long one loop lasts."""
        return self.piece.block_seconds(self.tempo)

    @property
    def seconds(self) -> Fraction:
        """How long it lasts."""
        return self.loops * self.block_seconds


@dataclass(frozen=True)
class Plan:
    """A day's practice; without items where there is nothing to play."""

    day: date
    minutes: int
    items: tuple[Item, ...]

    @property
    def seconds(self) -> Fraction:
        """How long all of it lasts."""
        return sum((item.seconds for item in self.items), Fraction(0))


def make_plan(
    pieces: Sequence[Piece],
    sittings: Iterable[Sitting],
    day: date,
    minutes: int = 5,
    *,
    mixed: bool = True,
) -> Plan:
    """Return the plan of a day; the same arguments give the same plan.

    `pieces` come in the order in which they are to be begun. The plan is less than one block
    shorter than the minutes, never longer, unless not even one block fits. What was missed on
    days before is not added: a plan is as long as the minutes, whatever is due. Raises
    ValueError for minutes outside 1 to 60.
    """
    if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
        raise ValueError(f"A plan is for {LEAST_MINUTES} to {MOST_MINUTES} minutes, not {minutes}.")
    stand = records(pieces, sittings, day)
    choice = select_pieces(stand, day, minutes)
    seconds = Fraction(60 * minutes)
    parts = _eased(_parts(choice, mixed=mixed), {one.piece.id: one for one in stand}, day)
    wanted = _shared_out(parts, seconds, MOST_ROUNDS if mixed else 1)
    slots = [LoopSlot(item.block_seconds, share) for item, share in wanted]
    loops = loops_for(slots, seconds)
    played = (replace(item, loops=n) for (item, _), n in zip(wanted, loops, strict=True) if n)
    return Plan(day, minutes, tuple(_joined(played)))


def _parts(choice: PieceSelection, *, mixed: bool) -> dict[PlanPart, list[Item]]:
    focus = PlanPart.NEW if choice.is_new else PlanPart.WORK
    known = [_item(PlanPart.TURN, record) for record in choice.known]
    if choice.focus and known:
        # Blocked, its turn joins the block that it follows.
        known.insert(int(mixed), _item(PlanPart.TURN, choice.focus))
    parts = {
        PlanPart.LOOSEN_UP: _loosening(choice),
        PlanPart.CHECK: [_item(PlanPart.CHECK, record) for record in choice.checks],
        focus: [_item(focus, choice.focus)] if choice.focus else [],
        PlanPart.TURN: known,
    }
    return {part: items for part, items in parts.items() if items}


def _eased(
    parts: dict[PlanPart, list[Item]], records: Mapping[int, Record], day: date
) -> dict[PlanPart, list[Item]]:
    """What is worked at, with the simpler one in place of what is stuck."""
    ids = {item.piece.id for part in _WORKED_AT for item in parts.get(part, ())}
    found = {number: easier(records[number], day) for number in ids}

    def eased(item: Item) -> Item:
        simpler = found.get(item.piece.id)
        return replace(item, tempo=simpler.tempo, easier=simpler) if simpler else item

    return {
        part: [eased(item) for item in items] if part in _WORKED_AT else items
        for part, items in parts.items()
    }


def _item(part: PlanPart, record: Record) -> Item:
    return Item(part, record.piece, next_tempo(record))


def _loosening(choice: PieceSelection) -> list[Item]:
    """Something known, slowly; where nothing is known yet, the groove alone."""
    if choice.warm_up:
        piece = choice.warm_up.piece
        return [Item(PlanPart.LOOSEN_UP, piece, begin_tempo(piece))]
    if choice.focus:
        piece = choice.focus.piece
        return [Item(PlanPart.LOOSEN_UP, piece, begin_tempo(piece), groove_alone=True)]
    return []


def _shared_out(
    parts: dict[PlanPart, list[Item]], seconds: Fraction, most_rounds: int
) -> list[tuple[Item, Fraction]]:
    """Return each item with the seconds it should have; turns in as many rounds as fit."""
    whole = sum(_SHARES[part] for part in parts)
    shared = []
    for part, items in parts.items():
        share = seconds * _SHARES[part] / whole
        rounds = _rounds(items, share, most_rounds) if part is PlanPart.TURN else 1
        shared += [(item, share / (rounds * len(items))) for item in items * rounds]
    return shared


def _rounds(items: Sequence[Item], share: Fraction, most: int) -> int:
    """How often all take their turn: short turns, but a whole block each. A lone one has one."""
    if len(items) == 1:
        return 1
    return max(1, min(most, int(share // sum(item.block_seconds for item in items))))


def _joined(items: Iterable[Item]) -> list[Item]:
    """Where the same comes twice in a row, at the same tempo, it is one item."""
    joined: list[Item] = []
    for item in items:
        if joined and _is_the_same(joined[-1], item):
            joined[-1] = replace(joined[-1], loops=joined[-1].loops + item.loops)
        else:
            joined.append(item)
    return joined


def _is_the_same(one: Item, other: Item) -> bool:
    same = (one.piece.id, one.tempo, one.groove_alone, one.easier)
    return same == (other.piece.id, other.tempo, other.groove_alone, other.easier)


@dataclass(frozen=True)
class LoopSlot:
    """Room in a plan: how long one block lasts, and how long the slot should be; in seconds."""

    block: Fraction
    wanted: Fraction


def loops_for(slots: Sequence[LoopSlot], seconds: Fraction) -> list[int]:
    """Return how many loops each slot gets: together at most `seconds`, and nothing more fits.

    So the sum is less than one block short of the seconds. Where not even the shortest block
    fits, it gets one loop all the same, and nothing else is played.
    """
    if not slots:
        return []
    if all(slot.block > seconds for slot in slots):
        shortest = min(range(len(slots)), key=lambda place: slots[place].block)
        return [int(place == shortest) for place in range(len(slots))]
    loops = [int(slot.wanted // slot.block) for slot in slots]
    left = seconds - sum(n * slot.block for n, slot in zip(loops, slots, strict=True))
    while fitting := [place for place, slot in enumerate(slots) if slot.block <= left]:
        neediest = max(fitting, key=lambda place: _lacking(slots[place], loops[place]))
        loops[neediest] += 1
        left -= slots[neediest].block
    return loops


def _lacking(slot: LoopSlot, loops: int) -> Fraction:
    """How many seconds it is short of what it should have; below 0 where it has more."""
    return slot.wanted - loops * slot.block
