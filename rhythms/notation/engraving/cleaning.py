"""The engraver's SVG made fit for a page: small, accessible, in the page's own ink.

No style element or attribute (the page's Content-Security-Policy forbids them), no fixed
colour (``currentColor``), no pixel size, and no id but the title's, the description's, the
glyphs' and the strokes', all under the fill's prefix.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import NamedTuple

from rhythms.engine.fills.fill import HANDS
from rhythms.notation.engraving.accents import clear_accents
from rhythms.notation.engraving.count_layer import SILENT
from rhythms.notation.engraving.cropping import to_content, to_staff
from rhythms.notation.engraving.drawn import glyph_name
from rhythms.notation.engraving.mei_layer import UNDER
from rhythms.notation.engraving.own_glyphs import draw_own_glyphs
from rhythms.notation.engraving.word_rows import clear_words
from rhythms.notation.engraving_error import EngravingError
from rhythms.notation.xml import Maker, etree, to_text

_make = Maker("http://www.w3.org/2000/svg")
_tag = _make.tag
_HEAD = f"{_tag('g')}[@class='notehead']"
#: Words over a bar.
_OVER_BAR = f"{_tag('g')}[@class='dir']"
_FONT = "system-ui, sans-serif"
_INK = "currentColor"
#: In tenths of the engraver's units, of which 18 are a staff space.
_HALF_A_HEAD, _HALF_A_GRACE = 110, 75
_STICKING_SIZE, _COUNT_SIZE, _SMALL = 300, 250, 190
#: SMuFL's accidentalParensRight, which closes a ghost note; and from there to a dot.
_CLOSING = "E26B"
_TO_A_DOT = 150


class Heading(NamedTuple):
    """What stands over a bar: ``drawn`` from its upper left corner down, ``height`` with air."""

    drawn: etree._Element
    width: int
    height: int


class _Drawing(NamedTuple):
    box: str
    glyphs: etree._Element
    page: etree._Element


def clean(
    drawn: str, prefix: str, title: str, description: str, heading: Heading | None = None
) -> str:
    """The drawing with ids under ``prefix``, its title and its description in words.

    Raises EngravingError where it is not a drawing as the engraver makes them.
    """
    drawing = opened(drawn)
    box = to_content(drawing.box, drawing.page)
    over: tuple[etree._Element, ...] = ()
    if heading:
        box, over = _under(heading, box)
    _rename_glyphs(drawing, prefix)
    for group in drawing.page.iter(_tag("g")):
        _keep_stroke_id(group, prefix)
    words = (
        _make("title", {"id": f"{prefix}-title"}, title),
        _make("desc", {"id": f"{prefix}-desc"}, description),
    )
    label = {"aria-labelledby": f"{prefix}-title {prefix}-desc"}
    return _closed(box, drawing.page, label, *words, drawing.glyphs, *over)


def clean_repeatable(drawn: str, label: str) -> str:
    """The drawing without any id, so that a page may hold it more than once.

    Raises EngravingError where it is not a drawing as the engraver makes them.
    """
    drawing = opened(drawn)
    box = to_staff(drawing.box, drawing.page)
    _inline_glyphs(drawing)
    for group in drawing.page.iter(_tag("g")):
        _drop(group, "id", "class")
    return _closed(box, drawing.page, {"aria-label": label})


def layer_alone(drawn: str) -> etree._Element:
    """What stands on the staff of a drawing, as one group without any id.

    Raises EngravingError where it is not a drawing as the engraver makes them.
    """
    drawing = opened(drawn)
    _inline_glyphs(drawing)
    layer = drawing.page.find(f".//{_tag('g')}[@class='layer']")
    if layer is None:
        raise EngravingError("The engraver drew nothing.")
    for group in layer.iter(_tag("g")):
        _drop(group, "id", "class")
    return layer


def _under(heading: Heading, box: str) -> tuple[str, tuple[etree._Element]]:
    """The view box with room for the heading, and the heading in it."""
    left, top, width, height = box.split()
    heading.drawn.set("transform", f"translate({left}, {int(top) - heading.height})")
    higher = f"{left} {int(top) - heading.height} {width} {int(height) + heading.height}"
    return higher, (heading.drawn,)


def opened(drawn: str) -> _Drawing:
    parser = etree.XMLParser(resolve_entities=False, no_network=True, remove_comments=True)
    source = etree.fromstring(drawn.encode(), parser)
    scaled, glyphs = source.find(_tag("svg")), source.find(_tag("defs"))
    page = None if scaled is None else scaled.find(_tag("g"))
    if scaled is None or glyphs is None or page is None:
        raise EngravingError("The engraver drew nothing.")
    _drop_placeholders(page)
    _set_text(page)
    draw_own_glyphs(page, glyphs, _make)
    _clear_dots(page)
    clear_accents(page)
    clear_words(page)
    for line in page.iter(_tag("path"), _tag("polyline")):
        if line.get("stroke-width"):
            line.set("stroke", _INK)
    return _Drawing(scaled.get("viewBox", ""), glyphs, page)


def _closed(box: str, page: etree._Element, label: dict[str, str], *before: etree._Element) -> str:
    _drop_empty(page)
    look = {"viewBox": box, "class": "engraving", "fill": _INK, "font-family": _FONT}
    root = _make("svg", look | {"role": "img"} | label, *before, page)
    etree.cleanup_namespaces(root)
    return to_text(root)


# --- names ---------------------------------------------------------------------------


def _rename_glyphs(drawing: _Drawing, prefix: str) -> None:
    """Glyphs are named by their code point; two drawings on a page must not share the names."""
    for glyph in drawing.glyphs:
        glyph.set("id", f"{prefix}-{glyph.get('id', '').partition('-')[0]}")
    for use in drawing.page.iter(_tag("use")):
        use.set("href", f"#{prefix}-{glyph_name(use)}")


def _inline_glyphs(drawing: _Drawing) -> None:
    glyphs = {glyph.get("id", "").partition("-")[0]: glyph for glyph in drawing.glyphs}
    for use in list(drawing.page.iter(_tag("use"))):
        shapes = [deepcopy(shape) for shape in glyphs[glyph_name(use)]]
        drawn = _make("g", {"transform": use.get("transform", "")}, *shapes)
        _replace(use, drawn)


def _keep_stroke_id(group: etree._Element, prefix: str) -> None:
    """A stroke keeps its id and is of class ``stroke``; other groups keep neither."""
    identity = group.get("id", "")
    _drop(group, "id", "class")
    if identity.startswith(f"{prefix}-s"):
        group.set("id", identity)
        if identity.removeprefix(f"{prefix}-s").removesuffix(UNDER).isdigit():
            group.set("class", "stroke")


# --- dots ----------------------------------------------------------------------------


def _clear_dots(page: etree._Element) -> None:
    """Move the dots of a ghost note out of its parenthesis, where the engraver leaves them."""
    for note in page.iter(_tag("g")):
        heads = note.iterfind(f"{_HEAD}/{_tag('use')}")
        closing = [_x_of(use) for use in heads if glyph_name(use) == _CLOSING]
        for dot in note.iterfind(f"{_tag('g')}[@class='dots']/{_tag('ellipse')}"):
            if closing:
                dot.set("cx", str(max(closing) + _TO_A_DOT))


# --- text ----------------------------------------------------------------------------


def _set_text(page: etree._Element) -> None:
    """Centre the words under each note on its head; one plain element instead of three layers."""
    for text in [*page.iterfind(f".//{_OVER_BAR}/{_tag('text')}")]:
        said = "".join(str(part) for part in text.itertext()).strip()
        look = {"x": text.get("x", ""), "y": text.get("y", ""), "font-size": str(_STICKING_SIZE)}
        _replace(text, _make("text", look, said))
    heads = dict(_heads(page))
    for note in list(page.iter(_tag("g"))):
        name = note.get("id", "")
        for verse in note.findall(f"{_tag('g')}[@class='verse']") if name in heads else ():
            _replace(verse, *_words(next(verse.iter(_tag("text"))), name, heads))
        if SILENT in note.get("class", "").split():
            for drawn in note.findall(_tag("g")):
                note.remove(drawn)


def _heads(page: etree._Element) -> Iterator[tuple[str, int]]:
    """The id of each note and chord, and where its head begins, the first of those side by side."""
    for note in page.iter(_tag("g")):
        within = "/".join([_tag("g")] * (note.get("class") == "chord") + [_HEAD])
        heads = note.findall(within)
        if heads:
            yield note.get("id", ""), min(_x_of(head[0]) for head in heads)


def _words(text: etree._Element, name: str, heads: Mapping[str, int]) -> Iterator[etree._Element]:
    """The word under a note; of ``lR`` the last letter, and the others under its grace notes."""
    said = "".join(str(part) for part in text.itertext()).strip()
    y = text.get("y", "")
    if said[-1:] in HANDS:
        for number, hand in enumerate(said[:-1]):
            # Small, but a capital: a small l reads as 1.
            x = heads[f"{name}-g{number}"] + _HALF_A_GRACE
            yield _word(hand.upper(), x, y, _SMALL)
        yield _word(said[-1], heads[name] + _HALF_A_HEAD, y, _STICKING_SIZE)
        return
    yield _word(said, heads[name] + _HALF_A_HEAD, y, _SMALL if said[0] == "(" else _COUNT_SIZE)


def _word(said: str, x: int, y: str, size: int) -> etree._Element:
    look = {"x": str(x), "y": y, "text-anchor": "middle", "font-size": str(size)}
    return _make("text", look, said)


def _x_of(use: etree._Element) -> int:
    return int(use.get("transform", "").removeprefix("translate(").partition(",")[0])


# --- leaving out ---------------------------------------------------------------------


def _drop_placeholders(page: etree._Element) -> None:
    for group in page.findall(f".//{_tag('g')}[{_tag('ellipse')}]"):
        if "placeholder" in group.get("class", ""):
            _replace(group)


def _drop_empty(page: etree._Element) -> None:
    for group in reversed(list(page.iterdescendants(_tag("g")))):
        if not len(group):
            _replace(group)


def _drop(element: etree._Element, *names: str) -> None:
    for name in names:
        element.attrib.pop(name, "")


def _replace(element: etree._Element, *others: etree._Element) -> None:
    parent = element.getparent()
    if parent is not None:
        place = parent.index(element)
        parent[place : place + 1] = others
