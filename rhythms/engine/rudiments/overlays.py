"""Stickings that rules lay over notes: the 40 rudiments, and rotations of the paradiddle.

Rotations are common practice, not part of the published sheet, and carry no accents.
"""

from __future__ import annotations

from rhythms.engine.rudiments.letters import Letter
from rhythms.engine.rudiments.rudiment_table import OWN_RHYTHM, RUDIMENT_FAMILIES, RUDIMENTS

_PARADIDDLE = next(each.cycle for each in RUDIMENTS if each.said == "single paradiddle")
_ROTATIONS = {
    f"paradiddle rotation {by}": tuple(
        letter._replace(accent=False) for letter in _PARADIDDLE[by:] + _PARADIDDLE[:by]
    )
    for by in (2, 3, 5)
}
#: Name in the JSON form -> one full cycle from the right hand, of what goes over any notes.
OVERLAYS: dict[str, tuple[Letter, ...]] = {
    **{each.said: each.cycle for each in RUDIMENTS if each.goes != OWN_RHYTHM},
    **_ROTATIONS,
}
#: The hands of those that are told by their hands alone.
HANDS_OF: dict[str, str] = {
    name: "".join(letter.hand for letter in letters)
    for name, letters in OVERLAYS.items()
    if not any(letter.ornament for letter in letters)
}
#: The same of those whose letters belong to a rhythm of their own, too.
STICKINGS = OVERLAYS | {each.said: each.cycle for each in RUDIMENTS if each.goes == OWN_RHYTHM}
#: Every name, under the headings of a form.
GROUPS: dict[str, tuple[str, ...]] = {
    **{
        heading: tuple(
            each.said for each in RUDIMENTS if each.family == family and each.goes != OWN_RHYTHM
        )
        for family, heading in RUDIMENT_FAMILIES.items()
    },
    "Paradiddles begun later": tuple(_ROTATIONS),
    "For a bar in their own rhythm": tuple(name for name in STICKINGS if name not in OVERLAYS),
}


def cycle(sticking: str, lead: str) -> tuple[Letter, ...]:
    """One cycle led by ``lead`` ("R" or "L"): the left-hand form swaps every hand."""
    letters = STICKINGS[sticking]
    return letters if letters[0].hand == lead else tuple(letter.mirrored for letter in letters)


def in_words(sticking: str) -> str:
    """``A single paradiddle``, ``An inverted flam tap``; ``Lesson 25`` as it is."""
    if sticking.startswith("Lesson"):
        return sticking
    return f"{'An' if sticking[0] in 'aeiou' else 'A'} {sticking}"
