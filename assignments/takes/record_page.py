"""What the page that records a take needs."""

from typing import Any

from assignments.models import AssignedVariation
from rhythms.engine import Fill, Meter, Surface
from rhythms.engine.bars.feel import named_feels
from rhythms.engine.kits.surfaces import FEET, WAYS, called
from rhythms.engine.takes import MOST_STROKES
from rhythms.forms import METERS
from rhythms.notation.staff_placement import PLACEMENTS
from studio.models import Student

USUAL_TEMPO = 80
#: What a free take may be said to have, straight first, whatever its meter.
FEELS = named_feels(Meter(4, 4))
#: Keys of a computer for the surfaces in order: the hands' row first, the space bar for the foot.
_HANDS = [f"Key{letter}" for letter in "FJDKSLAEIRUGHTYC"]
_FEET = {Surface.BASS_DRUM: "Space", Surface.HI_HAT_FOOT: "KeyB"}


def recording_page(
    student: Student, fill: AssignedVariation | None, meter: Meter
) -> dict[str, Any]:
    """The pads of the student's kit, and the fill to play if there is one."""
    meter = fill.as_fill.bar.meter.one_bar if fill else meter
    return {
        "fill": fill,
        "meters": METERS,
        "meter": str(meter),
        "pads": pads(student, fill.as_fill if fill else None),
        "tempo": fill.assignment.tempo if fill else USUAL_TEMPO,
        "feels": [(f"{feel.swing} {feel.unit}", feel.in_full) for feel in FEELS],
        "recording": {
            "variation": fill.pk if fill else None,
            "meter": str(meter),
            "most": MOST_STROKES,
            "shapes": {str(one): _shape(one) for one in {*map(Meter.parse, METERS), meter}},
        },
    }


def _shape(meter: Meter) -> dict[str, Any]:
    """A bar as it is clicked: onsets of its beats, and its length, in quarters."""
    return {
        "bar": float(meter.length),
        "beats": [float(beat.onset) for beat in meter.beats],
    }


def pads(student: Student, fill: Fill | None = None) -> list[dict[str, Any]]:
    """One pad for each surface of the kit, with its MIDI key and its key on a computer.

    Ways of striking have one where the fill asks for them; of those on one key the first.
    """
    asked = {PLACEMENTS[way].key: way for way in reversed(WAYS) if fill and way in fill.surfaces}
    surfaces = [*map(Surface, student.kit.surfaces), *reversed(asked.values())]
    hands = [surface for surface in surfaces if surface not in FEET]
    codes = dict(zip(hands, _HANDS, strict=False)) | _FEET
    return [
        {
            "surface": called(surface),
            "key": PLACEMENTS[surface].key,
            "code": codes.get(surface, ""),
            "key_label": codes.get(surface, "").removeprefix("Key"),
        }
        for surface in surfaces
    ]
