"""All that these tests know of how the site is built inside: a move of modules ends here."""

from assignments.assigning.assign import engravings_of
from rhythms.engine import Kit
from rhythms.engine.fills.hands import StickingStyle
from rhythms.fill_spaces import space_for
from rhythms.notation.engraving.svg import SVG_VERSION
from rhythms.notation.sheets import PDF_VERSION
from rhythms.notation.sounds.audio import AUDIO_VERSION
from rhythms.renderings.rendering_store import key_of
from studio.accounts.account_mails import opening_token

__all__ = [
    "VERSIONS",
    "Kit",
    "StickingStyle",
    "engravings_of",
    "key_of",
    "opening_token",
    "space_for",
]

#: What a rendering's address depends on besides what it shows, by format.
VERSIONS = {"svg": SVG_VERSION, "pdf": f"{PDF_VERSION} {SVG_VERSION}", "mp3": AUDIO_VERSION}
