"""Facts in a teacher's words: what somebody does, how much of it can be counted, what others do."""

from __future__ import annotations

from rhythms.engine.comfort.traits import Trait

#: Less than this of what is counted is hardly ever.
_HARDLY = 0.04
_SINGULAR = {"go": "goes", "come": "comes", "never": "never"}


def sentence_of(trait: Trait, value: float, people: float, studio: float | None) -> str:
    """``Ends on the crash in 2 of 10; others in 4 of 100.``, ``Plays 3.9 strokes a beat; …``."""
    ours = "" if studio is None else f", your other students {_how_much(trait, studio)}"
    others = f"others {_how_much(trait, people)}{ours}"
    if trait.is_amount:
        said = singular(trait.words).format(number=in_number(value), share=of_ten(value))
    elif value < _HARDLY:
        said = f"hardly ever {singular(trait.words)}"
    else:
        said = f"{singular(trait.words)} in {of_ten(value)}"
    return f"{said[0].upper()}{said[1:]}; {others}."


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
