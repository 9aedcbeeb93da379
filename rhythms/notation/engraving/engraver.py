"""Verovio, one toolkit a thread: a shared one mixes up bars, and each needs its fonts set."""

from __future__ import annotations

from pathlib import Path
from threading import local
from typing import TYPE_CHECKING

from rhythms.notation.engraving_error import EngravingError
from rhythms.notation.late_import import LateImport

if TYPE_CHECKING:
    import verovio
else:
    verovio = LateImport("verovio")

_SEED = 1
_OPTIONS = {
    "inputFrom": "mei",
    "breaks": "encoded",
    "header": "none",
    "footer": "none",
    "adjustPageHeight": True,
    "pageMarginTop": 10,
    "pageMarginBottom": 10,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "minLastJustification": 0.0,
    "lyricSize": 3.2,
    "lyricTopMinMargin": 1.0,
    "leftMarginRightBarLine": 2.0,
    "svgViewBox": True,
    "svgRemoveXlink": True,
    "svgFormatRaw": True,
    "expandNever": True,
    "xmlIdSeed": _SEED,
}
_thread = local()


def engrave(mei: str, width: int) -> str:
    """The engraver's own SVG of an MEI document, the bar spread over ``width`` units.

    Nine units are half a staff space. Raises EngravingError.
    """
    toolkit = _toolkit()
    toolkit.setOptions({"pageWidth": width})
    if not toolkit.loadData(mei):
        raise EngravingError("The engraver could not read the bar.")
    drawn = toolkit.renderToSVG(1)
    if "<svg" not in drawn or toolkit.getPageCount() != 1:
        raise EngravingError("The engraver drew nothing.")
    return str(drawn)


def _toolkit() -> verovio.toolkit:
    toolkit: verovio.toolkit | None = getattr(_thread, "toolkit", None)
    if toolkit is None:
        # It warns on standard error of every bar it presses together to the width asked for.
        verovio.enableLog(verovio.LOG_ERROR)
        toolkit = verovio.toolkit(False)
        toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
        toolkit.setOptions(_OPTIONS)
        _thread.toolkit = toolkit
    toolkit.resetXmlIdSeed(_SEED)
    return toolkit
