"""The surfaces a kit may have, by the names the whole product uses."""

STICK_SURFACES = (
    "snare",
    "high tom",
    "mid tom",
    "floor tom",
    "hi-hat",
    "ride",
    "ride bell",
    "crash",
    "splash",
    "china",
    "cowbell",
    "cross-stick",
)
FOOT_SURFACES = ("bass drum", "hi-hat foot")
SURFACES = STICK_SURFACES + FOOT_SURFACES

STANDARD_KIT = (
    "snare",
    "high tom",
    "mid tom",
    "floor tom",
    "hi-hat",
    "ride",
    "crash",
    "cowbell",
    "bass drum",
    "hi-hat foot",
)


def standard_surfaces() -> list[str]:
    """Return the surfaces of the standard kit, as a fresh list."""
    return list(STANDARD_KIT)
