"""Making XML elements in one namespace, attributes first, then what is inside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rhythms.notation.late_import import LateImport

if TYPE_CHECKING:
    from lxml import etree
else:
    etree = LateImport("lxml.etree")

__all__ = ["Maker", "etree", "to_text"]


class Maker:
    """``make("note", {"dur": "8"}, child, "words")`` -> an element of the maker's namespace."""

    def __init__(self, namespace: str | None = None) -> None:
        self.namespace = namespace

    def tag(self, name: str) -> str:
        """The name as lxml spells it, with its namespace."""
        return f"{{{self.namespace}}}{name}" if self.namespace else name

    def __call__(
        self,
        name: str,
        attributes: Mapping[str, str] | None = None,
        *content: etree._Element | str,
    ) -> etree._Element:
        # The stubs know no default namespace, which lxml keys by None.
        nsmap: Any = {None: self.namespace} if self.namespace else None
        made = etree.Element(self.tag(name), dict(attributes or {}), nsmap=nsmap)
        for part in content:
            if isinstance(part, str):
                made.text = (made.text or "") + part
            else:
                made.append(part)
        return made


def to_text(element: etree._Element) -> str:
    """The element as text, without a declaration."""
    return etree.tostring(element, encoding="unicode")
