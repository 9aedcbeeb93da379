from studio.models.account_mail import AccountMail
from studio.models.kit import Kit
from studio.models.last_sweep import LastSweep
from studio.models.sent_form import SentForm
from studio.models.sign_in_link import SignInLink
from studio.models.student import Student
from studio.models.studio import Membership, Studio
from studio.models.teacher import Teacher

__all__ = [
    "AccountMail",
    "Kit",
    "LastSweep",
    "Membership",
    "SentForm",
    "SignInLink",
    "Student",
    "Studio",
    "Teacher",
]
