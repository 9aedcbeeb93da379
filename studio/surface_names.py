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
#: Names that drummers use, for what is stored under an older one.
CALLED = {"cross-stick": "rim click"}
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


def called(surface: str) -> str:
    """Return what drummers call it; any other name as it is."""
    return CALLED.get(surface, str(surface))


def standard_surfaces() -> list[str]:
    """Return the surfaces of the standard kit, as a fresh list."""
    return list(STANDARD_KIT)
