"""What stands out, in figures: what there is of it here, and with other people."""

from collections.abc import Iterable
from typing import NamedTuple

from rhythms.engine.comfort.fact_words import in_number, singular, words_to_player
from rhythms.engine.comfort.facts import Fact


class FactRow(NamedTuple):
    """A fact as a row of a table; `studio` is "" where too few others are known."""

    words: str
    here: str
    between: str
    others: str
    studio: str
    sure: str


def fact_rows(facts: Iterable[Fact], *, to_player: bool = False) -> list[FactRow]:
    """Return a row for each, in their order; to who plays so as "you"."""
    in_person = words_to_player if to_player else singular
    return [_row(fact, in_person(fact.trait.words)) for fact in facts]


def _row(fact: Fact, words: str) -> FactRow:
    show = in_number if "{number}" in fact.trait.words else _percent
    return FactRow(
        words.format(number="…", share="…"),
        show(fact.value),
        f"{show(fact.low)} to {show(fact.high)}",
        show(fact.people),
        "" if fact.studio is None else show(fact.studio),
        fact.sure,
    )


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"
