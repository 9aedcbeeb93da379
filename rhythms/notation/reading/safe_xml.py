"""XML from anybody: no entities, no network, no file, no depth without end."""

from __future__ import annotations

import io

from lxml import etree

from rhythms.notation.reading.limits import MOST_XML_DEPTH
from rhythms.notation.reading.reading_error import ReadingError

_ENTITIES = ReadingError(
    "entities", "The file declares XML entities, which no score needs. It is not read."
)
#: How text can be stored that an XML parser reads unasked.
_CODES = ("utf-8", "utf-16-le", "utf-16-be")


def parse(data: bytes) -> etree._Element:
    """The root of an XML document, comments and processing instructions left out.

    Raises ReadingError, also for a document that declares entities of its own.
    """
    if any("<!ENTITY".encode(code) in data for code in _CODES):
        raise _ENTITIES
    _check_depth(data)
    try:
        tree = etree.parse(io.BytesIO(data), _parser())
    except etree.XMLSyntaxError as error:
        raise _what(error) from error
    return tree.getroot()


def _parser() -> etree.XMLParser:
    return etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
    )


def _check_depth(data: bytes) -> None:
    """Walk over the document once without keeping it."""
    depth = 0
    events = etree.iterparse(
        io.BytesIO(data),
        events=("start", "end"),
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        huge_tree=False,
    )
    try:
        for event, element in events:
            depth += 1 if event == "start" else -1
            if depth > MOST_XML_DEPTH:
                raise ReadingError(
                    "too-deep", f"The file nests its elements more than {MOST_XML_DEPTH} deep."
                )
            if event == "end":
                element.clear()
    except etree.XMLSyntaxError as error:
        raise _what(error) from error


def _what(error: etree.XMLSyntaxError) -> Exception:
    """The parser reports missing memory like bad XML, without a place."""
    if not error.lineno:
        return MemoryError()
    return ReadingError(
        "damaged",
        f"The file is damaged or cut off near line {error.lineno}: it is not whole XML. "
        "Export it once more.",
    )
