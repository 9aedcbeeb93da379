"""The computation: bars, kits, rules and the exactly counted space of fills. Pure Python."""

from rhythms.engine.bar import Bar, Note, Sounded
from rhythms.engine.errors import EngineError
from rhythms.engine.fill import Fill, Stroke
from rhythms.engine.kit import Kit
from rhythms.engine.meter import Beat, Meter
from rhythms.engine.rule_set import RuleSet
from rhythms.engine.space import FillSpace
from rhythms.engine.surfaces import Surface

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
]
