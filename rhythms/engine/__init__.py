"""The computation: bars, kits, rules and the exactly counted space of fills. Pure Python."""

from typing import TYPE_CHECKING

from rhythms.engine.late_names import late_names

if TYPE_CHECKING:
    from rhythms.engine.bars.bar import Bar, Note, Sounded
    from rhythms.engine.bars.meter import Beat, Meter
    from rhythms.engine.errors import EngineError
    from rhythms.engine.fills.fill import Fill, Stroke
    from rhythms.engine.kits.drum_kit import Kit
    from rhythms.engine.kits.surfaces import Surface
    from rhythms.engine.picking import pick
    from rhythms.engine.prior.drawing import draw
    from rhythms.engine.rules.rule_list import RuleSet
    from rhythms.engine.space.fill_space import FillSpace
else:
    __getattr__ = late_names(
        __name__,
        {
            "bars.bar": "Bar Note Sounded",
            "bars.meter": "Beat Meter",
            "errors": "EngineError",
            "fills.fill": "Fill Stroke",
            "kits.drum_kit": "Kit",
            "kits.surfaces": "Surface",
            "picking": "pick",
            "prior.drawing": "draw",
            "rules.rule_list": "RuleSet",
            "space.fill_space": "FillSpace",
        },
    )

__all__ = [
    "Bar",
    "Beat",
    "EngineError",
    "Fill",
    "FillSpace",
    "Kit",
    "Meter",
    "Note",
    "RuleSet",
    "Sounded",
    "Stroke",
    "Surface",
    "draw",
    "pick",
]
