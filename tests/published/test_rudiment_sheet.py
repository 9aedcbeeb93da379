"""The 40 rudiments against a list of them kept outside the project.

The list: numbers, names, letters, leads and cycles of the Percussive Arts Society's International
Drum Rudiments (from memory; names, and the letters of 1 to 3, 5 to 18, 21 and 22, agree with an
independent published list), and overlay cycles worked out from them. How 20 to 40 divide a beat is
its least sure part. RUDIMENTS names the file.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rhythms.engine.rudiments.letters import Letter
from rhythms.engine.rudiments.overlays import HANDS_OF, OVERLAYS
from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import OWN_RHYTHM, RUDIMENTS, Rudiment

FILE = Path(os.environ.get("RUDIMENTS") or "/nowhere")
LIST = json.loads(FILE.read_text()) if FILE.is_file() else {}

pytestmark = pytest.mark.skipif(
    not LIST, reason="Data that is not ours to ship: RUDIMENTS names no file with it"
)


def not_so(holds: Callable[[Rudiment, dict[str, Any]], bool]) -> list[str]:
    """The rudiments for which it does not hold, beside the same number of the list."""
    together = zip(RUDIMENTS, LIST["rudiments"], strict=True)
    return [ours.name for ours, listed in together if not holds(ours, listed)]


def written(letters: tuple[Letter, ...]) -> list[str]:
    """Letters as the list writes them, put together anew."""
    return [_written(letter) for letter in letters]


def _written(letter: Letter) -> str:
    other = "l" if letter.hand == "R" else "r"
    graces = {"flam": other, "drag": other * 2}.get(letter.ornament or "", "")
    after = {"diddle": letter.hand, "buzz": "z"}.get(letter.ornament or "", "")
    return f"{graces}{letter.hand}{after}{'*' * letter.accent}"


def test_there_are_forty_numbered_alike():
    assert [one.number for one in RUDIMENTS] == list(range(1, 41))
    assert not_so(lambda ours, listed: ours.number == listed["n"]) == []


def test_names_and_families_are_the_same():
    assert not_so(lambda ours, of: (ours.name, ours.family) == (of["name"], of["family"])) == []


def test_statements_are_the_same_letter_by_letter():
    assert not_so(lambda ours, of: written(ours.statement) == of["statement"].split()) == []


def test_both_leads_are_the_same_letter_by_letter():
    def same(ours: Rudiment, listed: dict[str, Any]) -> bool:
        return written(ours.cycle) == listed["full"].replace("|", " ").split()

    assert not_so(same) == []


def test_accents_fall_on_the_same_letters():
    def same(ours: Rudiment, listed: dict[str, Any]) -> bool:
        accented = [word.endswith("*") for word in listed["statement"].split()]
        return [letter.accent for letter in ours.statement] == accented

    assert not_so(same) == []


def test_the_lead_goes_the_same_way():
    assert not_so(lambda ours, listed: ours.alternates == (listed["lead"] == "mirror")) == []


def test_statements_have_as_many_notes():
    assert not_so(lambda ours, of: len(ours.statement) == of["notes_per_statement"]) == []


def test_cycle_and_period_are_the_same_where_hands_tell_all():
    def same(ours: Rudiment, listed: dict[str, Any]) -> bool:
        if not listed["pure"]:
            return any(letter.ornament for letter in ours.cycle)
        hands = "".join(letter.hand for letter in ours.cycle)
        return (hands, len(hands)) == (listed["cycle"], listed["period"])

    assert not_so(same) == []


def test_what_is_bound_to_a_rhythm_has_a_longer_note_there():
    def has_one(ours: Rudiment, listed: dict[str, Any]) -> bool:
        longer = re.search("release|eighth|quarter|next beat|2 accents|#38", listed["subdivision"])
        return ours.goes != OWN_RHYTHM or bool(longer)

    assert not_so(has_one) == []


def test_each_bar_is_begun_by_either_hand_as_listed():
    def same(ours: Rudiment, listed: dict[str, Any]) -> bool:
        right = [re.sub("[a-z*]", "", word)[0] for word in listed["statement"].split()]
        left = [{"R": "L", "L": "R"}[hand] for hand in right]
        return all(
            [stroke.limb for stroke in rudiment_fill(ours, lead).strokes[: len(hands)]] == hands
            for lead, hands in (("R", right), ("L", left))
        )

    assert not_so(same) == []


def test_overlay_cycles_are_as_long_and_the_same():
    listed = {one["name"]: (one["cycle"], one["period"]) for one in LIST["overlays"]}
    assert {name: (HANDS_OF[name], len(OVERLAYS[name])) for name in listed} == listed
