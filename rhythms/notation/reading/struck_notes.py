"""What the notes of a MusicXML score strike, and how: drum, hand, touch and ornament.

Told by the instrument that a note names, where the score gives that a MIDI key, else by its place
on the staff and its notehead, as Weinberg's guideline has them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lxml import etree

from rhythms.engine import Surface
from rhythms.engine.fills.fill import HANDS
from rhythms.engine.kits.surfaces import FEET, base
from rhythms.engine.takes.struck_at_once import Caught
from rhythms.notation.export.midi import ACCENT_VELOCITY, GHOST_VELOCITY, NORMAL_VELOCITY
from rhythms.notation.reading.midi_surfaces import surface_of
from rhythms.notation.staff_placement import PLACEMENTS

#: The second bass drum stands on the bottom line (Weinberg 1994, from memory).
_SECOND_BASS_DRUM = ("E", "4")
_NORMAL_HEADS = ("", "normal")
#: What notation programs put above a hi-hat.
_OPEN, _HALF_OPEN = ("open", "open-string"), ("half-muted",)
_TREMOLOS = {"single": "diddle", "unmeasured": "buzz"}

_Place = tuple[str, str]
_BY_PLACE: dict[_Place, list[Surface]] = {_SECOND_BASS_DRUM: [Surface.BASS_DRUM]}
for _row in PLACEMENTS.values():
    _BY_PLACE.setdefault((_row.step, str(_row.octave)), []).append(_row.surface)


def number_notes(root: etree._Element) -> tuple[Caught | None, ...]:
    """What each note strikes, None where that is not told; rests are no notes.

    Each gets its number as its only lyric, so that it is known again however the score is read.
    """
    keys = dict(_keys(root))
    struck: list[Caught | None] = []
    for part in root.iter("part"):
        graces: dict[str, list[Surface | None]] = {}
        for note in part.iter("note"):
            caught = _caught(note, keys, graces)
            for lyric in note.findall("lyric"):
                note.remove(lyric)
            if note.find("rest") is None:
                _write(note, len(struck))
                struck.append(caught)
    return tuple(struck)


def number_of(note: etree._Element) -> int | None:
    """The number that a note was given."""
    text = note.findtext("lyric/text")
    return int(text) if text else None


def _write(note: etree._Element, number: int) -> None:
    lyric = etree.SubElement(note, "lyric", number="1")
    etree.SubElement(lyric, "text").text = str(number)


def _keys(root: etree._Element) -> Iterator[tuple[str, int]]:
    """The MIDI key of each instrument; they are counted from 1 there."""
    for instrument in root.iterfind("part-list/score-part/midi-instrument"):
        key = (instrument.findtext("midi-unpitched") or "").strip()
        if key.isdecimal() and len(key) < 4:
            yield instrument.get("id", ""), int(key) - 1


def _caught(
    note: etree._Element, keys: Mapping[str, int], graces: dict[str, list[Surface | None]]
) -> Caught | None:
    """``graces`` are the grace notes so far, by voice; they belong to the note after them."""
    surface = _surface(note, keys)
    voice = note.findtext("voice") or ""
    if note.find("grace") is not None:
        graces.setdefault(voice, []).append(surface)
        return None if surface is None else Caught(surface, GHOST_VELOCITY)
    before = graces.get(voice, []) if note.find("chord") is not None else graces.pop(voice, [])
    if surface is None:
        return None
    return Caught(surface, _velocity(note), _ornament(note, surface, before), _hand(note))


def _surface(note: etree._Element, keys: Mapping[str, int]) -> Surface | None:
    if note.find("unpitched") is None:
        return None
    instrument = note.find("instrument")
    key = keys.get(instrument.get("id", "")) if instrument is not None else None
    told = surface_of(key, typed=True) if key is not None else None
    surface = told or _by_place(note)
    if surface is not None and base(surface) is Surface.HI_HAT:
        return _hi_hat(note, surface)
    return surface


def _by_place(note: etree._Element) -> Surface | None:
    step, octave = (note.findtext(f"unpitched/display-{what}") for what in ("step", "octave"))
    there = _BY_PLACE.get((step or "", octave or ""), [])
    head = note.findtext("notehead") or ""
    exact = [surface for surface in there if PLACEMENTS[surface].head == head]
    alike = [
        surface
        for surface in there
        if (PLACEMENTS[surface].head in _NORMAL_HEADS) == (head in _NORMAL_HEADS)
    ]
    return next(iter([*exact, *alike, *there]), None)


def _hi_hat(note: etree._Element, told: Surface) -> Surface:
    """The sign above it says more than its instrument."""
    signs = {str(sign.tag) for sign in note.iterfind("notations/technical/*")}
    if signs & {*_HALF_OPEN}:
        return Surface.HALF_OPEN_HI_HAT
    return Surface.OPEN_HI_HAT if signs & {*_OPEN} else told


def _velocity(note: etree._Element) -> int:
    marks = {str(mark.tag) for mark in note.iterfind("notations/articulations/*")}
    if marks & {"accent", "strong-accent"}:
        return ACCENT_VELOCITY
    head = note.find("notehead")
    ghosted = head is not None and head.get("parentheses") == "yes"
    return GHOST_VELOCITY if ghosted else NORMAL_VELOCITY


def _ornament(note: etree._Element, surface: Surface, before: list[Surface | None]) -> str | None:
    if surface in FEET:
        return None
    graces = sum(grace is not None and base(grace) is base(surface) for grace in before)
    if graces:
        return "flam" if graces == 1 else "drag"
    tremolo = note.find("notations/ornaments/tremolo")
    if tremolo is None or (tremolo.get("type", "single"), tremolo.text or "") == ("single", "3"):
        return None
    return _TREMOLOS.get(tremolo.get("type", "single"))


def _hand(note: etree._Element) -> str | None:
    said = {(text.text or "").strip() for text in note.iterfind("lyric/text")}
    hands = [hand for hand in HANDS if hand in said]
    return hands[0] if len(hands) == 1 else None
