from rhythms.models.bar_import import BarImport
from rhythms.models.ladder import Ladder, LadderStep
from rhythms.models.rendering import Rendering
from rhythms.models.rule_set import RuleSet
from rhythms.models.source_bar import SourceBar
from rhythms.models.studio_groove import StudioGroove
from rhythms.models.studio_style import Stickings, StudioStyle, TeacherTake

__all__ = [
    "BarImport",
    "Ladder",
    "LadderStep",
    "Rendering",
    "RuleSet",
    "SourceBar",
    "Stickings",
    "StudioGroove",
    "StudioStyle",
    "TeacherTake",
]
