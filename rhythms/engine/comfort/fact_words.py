"""Facts in a teacher's words: what somebody does, how much of it can be counted, what others do.

To the teacher they are of the student ("ends on the crash"), to the player of "you".
"""

from __future__ import annotations

from collections.abc import Callable

from rhythms.engine.comfort.traits import Trait

#: Less than this of what is counted is hardly ever.
_HARDLY = 0.04
_NEVER_LEAVE = "never leave "
_SINGULAR = {"go": "goes", "come": "comes", "never": "never"}


def sentence_of(trait: Trait, value: float, people: float, studio: float | None) -> str:
    """``Ends on the crash in 2 of 10; others in 4 of 100.``, ``Plays 3.9 strokes a beat; …``."""
    ours = "" if studio is None else f", your other students {_how_much(trait, studio)}"
    return _sentence(_told(trait, value, singular), f"{_others(trait, people)}{ours}")


def sentence_to_player(trait: Trait, value: float, people: float) -> str:
    """``You end on the crash in 2 of 10; others in 4 of 100.``; others are drummers alone."""
    return _sentence(words_to_player(_told(trait, value, str)), _others(trait, people))


def words_to_player(words: str) -> str:
    """``you end on the crash`` of ``end on the crash``."""
    return f"you {words}"


def _told(trait: Trait, value: float, in_person: Callable[[str], str]) -> str:
    """What is done and how much of it, its verb as it is said of that person."""
    if trait.is_amount:
        return in_person(trait.words).format(number=in_number(value), share=of_ten(value))
    if value < _HARDLY:
        return f"hardly ever {in_person(_without_never(trait.words))}"
    return f"{in_person(trait.words)} in {of_ten(value)}"


def _without_never(words: str) -> str:
    """``stay on the snare alone`` of ``never leave the snare``: "hardly ever" is one no already."""
    left = words.removeprefix(_NEVER_LEAVE)
    return words if left == words else f"stay on {left} alone"


def _others(trait: Trait, people: float) -> str:
    return f"others {_how_much(trait, people)}"


def _sentence(told: str, others: str) -> str:
    return f"{told[0].upper()}{told[1:]}; {others}."


def _how_much(trait: Trait, value: float) -> str:
    if not trait.is_amount:
        return f"in {of_ten(value)}"
    return in_number(value) if "{number}" in trait.words else _where(trait, value)


def _where(trait: Trait, value: float) -> str:
    """With the word that stands before it: ``in 2 of 10``."""
    before = trait.words.split("{share}")[0].split()
    return f"in {of_ten(value)}" if before and before[-1] == "in" else of_ten(value)


def singular(words: str) -> str:
    """``ends on the crash`` of ``end on the crash``; of one person instead of many fills."""
    verb, _, rest = words.partition(" ")
    if verb == "never":
        return f"never {singular(rest)}"
    return f"{_SINGULAR.get(verb, f'{verb}s')} {rest}"


def of_ten(share: float) -> str:
    """A share in things one can count: ``8 of 10``, ``4 of 100``; ``none`` of what never came."""
    tenths = round(10 * share)
    if share >= 0.995 or (tenths and share >= 0.095):
        return f"{tenths} of 10"
    hundredths = round(100 * share)
    return f"{hundredths} of 100" if hundredths else "none"


def in_number(value: float) -> str:
    """One place under 10, none above."""
    return f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
