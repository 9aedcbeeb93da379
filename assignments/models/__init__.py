from assignments.models.assignment import Assignment
from assignments.models.entry import PracticeEntry
from assignments.models.entry_change import EntryChange
from assignments.models.mastery_event import MasteryEvent
from assignments.models.take import KitMap, Take
from assignments.models.variation import AssignedVariation

__all__ = [
    "AssignedVariation",
    "Assignment",
    "EntryChange",
    "KitMap",
    "MasteryEvent",
    "PracticeEntry",
    "Take",
]
