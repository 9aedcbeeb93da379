"""How long what is kept; README has the table, and the page about privacy says it to students."""

from datetime import timedelta

#: What was removed can be brought back for so long, then it is deleted for good.
REMOVED_FOR = timedelta(days=30)
#: The same for what a student played and took back.
REMOVED_TAKE_FOR = timedelta(days=1)
#: A sign-in link that nobody used for so long no longer signs anybody in.
LINK_UNUSED_FOR = timedelta(days=180)
#: Its hash is kept for so long after that, so that its page can say what happened.
LINK_REMEMBERED_FOR = timedelta(days=180)
#: A device stays signed in for so long after it was last signed in by a link.
STUDENT_SIGNED_IN_FOR = timedelta(days=180)
#: A device may send what it kept for so long; it is known again by its id until then.
DEVICE_FORM_REMEMBERED_FOR = STUDENT_SIGNED_IN_FOR
#: What a teacher sent is known again for so long; after that nobody clicks a second time.
SENT_FORM_REMEMBERED_FOR = timedelta(days=1)
#: Which mailbox a mail about an account was asked for; one that still waits is given up.
ACCOUNT_MAIL_REMEMBERED_FOR = timedelta(days=1)
#: Sheets and audio files, after they were last wanted; engravings that nothing shows any more.
FILE_UNUSED_FOR, ENGRAVING_UNUSED_FOR = timedelta(days=7), timedelta(days=30)
#: What was read of a file that a teacher brought, for picking bars.
IMPORT_KEPT_FOR = timedelta(days=30)
#: A file on the disk that no row names may be one that is being made; after so long it is none.
STRAY_KEPT_FOR = timedelta(days=1)
