from assignments.models.assignment import Assignment
from assignments.models.audit_log import EntryChange, MasteryEvent
from assignments.models.device_form import DeviceForm
from assignments.models.entry import PracticeEntry
from assignments.models.fill_figures import FillFigures
from assignments.models.kept_zone import KeptZone
from assignments.models.reminder import Reminder
from assignments.models.student_groove import StudentGroove
from assignments.models.take import KitMap, Take
from assignments.models.variation import AssignedVariation

__all__ = [
    "AssignedVariation",
    "Assignment",
    "DeviceForm",
    "EntryChange",
    "FillFigures",
    "KeptZone",
    "KitMap",
    "MasteryEvent",
    "PracticeEntry",
    "Reminder",
    "StudentGroove",
    "Take",
]
