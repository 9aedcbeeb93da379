"""The permission table: who may do what at every address of the site.

A row is: the address's name, the methods that it answers, who may use it, and the fixtures
that its parts stand for (a model's pk, or a string as it is). An address whose methods are for
different people has a row for each.
"""

from dataclasses import dataclass

EVERYONE = ("visitor", "student", "teacher")
TEACHER = ("teacher",)
STUDENT = ("student",)
SIGNED_IN = ("student", "teacher")
OPERATOR = ("operator",)

READ = ("GET",)
WRITE = ("POST",)
BOTH = ("GET", "POST")


@dataclass(frozen=True)
class Row:
    name: str
    methods: tuple[str, ...]
    who: tuple[str, ...]
    parts: tuple[str, ...] = ()
    api: bool = False  # answers 401 instead of sending visitors to sign in


ROWS = [
    # studio
    Row("studio:health", READ, EVERYONE),
    Row("studio:metrics", READ, OPERATOR, api=True),
    Row("studio:landing", READ, EVERYONE),
    Row("studio:home", READ, SIGNED_IN),
    Row("studio:sign-up", BOTH, EVERYONE),
    Row("studio:sign-up-sent", READ, EVERYONE),
    Row("studio:open-studio", BOTH, EVERYONE, ("opening_token",)),
    Row("studio:sign-in", BOTH, EVERYONE),
    Row("studio:sign-out", WRITE, EVERYONE),
    Row("studio:forgotten", BOTH, EVERYONE),
    Row("studio:forgotten-sent", READ, EVERYONE),
    Row("studio:new-password", BOTH, EVERYONE, ("uid_of_teacher", "reset_token")),
    Row("studio:enter", BOTH, EVERYONE, ("link_secret",)),
    Row("studio:settings", BOTH, TEACHER),
    Row("studio:change-password", BOTH, TEACHER),
    Row("studio:students", READ, TEACHER),
    Row("studio:student-add", BOTH, TEACHER),
    Row("studio:student-edit", BOTH, TEACHER, ("student",)),
    Row("studio:student-remove", BOTH, TEACHER, ("student",)),
    Row("studio:student-restore", WRITE, TEACHER, ("student",)),
    Row("studio:removed", READ, TEACHER),
    Row("studio:links", BOTH, TEACHER, ("student",)),
    Row("studio:link-revoke", WRITE, TEACHER, ("sign_in_link",)),
    Row("studio:kits", READ, TEACHER),
    Row("studio:kit-add", BOTH, TEACHER),
    Row("studio:kit-edit", BOTH, TEACHER, ("kit",)),
    Row("studio:kit-remove", BOTH, TEACHER, ("kit",)),
    Row("studio:kit-restore", WRITE, TEACHER, ("kit",)),
    # rhythms
    Row("rhythms:style", BOTH, TEACHER),
    Row("rhythms:own-playing-add", WRITE, TEACHER),
    Row("rhythms:own-playing-clear", BOTH, TEACHER),
    Row("rhythms:own-playing-remove", BOTH, TEACHER, ("teacher_take",)),
    Row("rhythms:own-playing-restore", WRITE, TEACHER, ("teacher_take",)),
    Row("rhythms:bars", READ, TEACHER),
    Row("rhythms:bar-new", BOTH, TEACHER),
    Row("rhythms:bar-preview", WRITE, TEACHER),
    Row("rhythms:bar-import", BOTH, TEACHER),
    Row("rhythms:bar-import-file", BOTH, TEACHER, ("bar_import",)),
    Row("rhythms:bar-import-state", READ, TEACHER, ("bar_import",)),
    Row("rhythms:bar", READ, TEACHER, ("bar",)),
    Row("rhythms:bar-edit", BOTH, TEACHER, ("bar",)),
    Row("rhythms:bar-remove", BOTH, TEACHER, ("bar",)),
    Row("rhythms:bar-restore", WRITE, TEACHER, ("bar",)),
    Row("rhythms:bar-sheet", READ, TEACHER, ("bar",)),
    Row("rhythms:bar-pdf", READ, TEACHER, ("bar",)),
    Row("rhythms:bar-file", READ, TEACHER, ("bar", "file_kind")),
    Row("rhythms:rule-sets", READ, TEACHER),
    Row("rhythms:rule-set-new", BOTH, TEACHER),
    Row("rhythms:rule-set-preview", WRITE, TEACHER),
    Row("rhythms:rule-set-rows", WRITE, TEACHER),
    Row("rhythms:rule-set", READ, TEACHER, ("rule_set",)),
    Row("rhythms:rule-set-edit", BOTH, TEACHER, ("rule_set",)),
    Row("rhythms:rule-set-remove", BOTH, TEACHER, ("rule_set",)),
    Row("rhythms:rule-set-restore", WRITE, TEACHER, ("rule_set",)),
    Row("rhythms:ladders", READ, TEACHER),
    Row("rhythms:ladder-new", BOTH, TEACHER),
    Row("rhythms:ladder-edit", BOTH, TEACHER, ("ladder",)),
    Row("rhythms:ladder-remove", BOTH, TEACHER, ("ladder",)),
    Row("rhythms:ladder-restore", WRITE, TEACHER, ("ladder",)),
    Row("rhythms:step-add", WRITE, TEACHER, ("ladder",)),
    Row("rhythms:step-move", WRITE, TEACHER, ("step",)),
    Row("rhythms:step-remove", BOTH, TEACHER, ("step",)),
    Row("rhythms:step-restore", WRITE, TEACHER, ("step",)),
    Row("rhythms:rendering", READ, SIGNED_IN, ("rendering",)),
    Row("rhythms:rendering-svg", READ, SIGNED_IN, ("rendering",)),
    Row("rhythms:rendering-retry", WRITE, SIGNED_IN, ("rendering",)),
    Row("rhythms:sounds", READ, EVERYONE),
    Row("rhythms:sound", READ, EVERYONE, ("sounds_version", "sound_slug")),
    Row("rhythms:file-state", BOTH, SIGNED_IN, ("ticket",)),
    Row("rhythms:file", READ, SIGNED_IN, ("ticket",)),
    Row("rhythms:api-fill-space", WRITE, TEACHER, api=True),
    # assignments
    Row("assignments:roster", READ, TEACHER),
    Row("assignments:student", READ, TEACHER, ("student",)),
    Row("assignments:student-progress", READ, TEACHER, ("student",)),
    Row("assignments:assign", BOTH, TEACHER),
    Row("assignments:draw", WRITE, TEACHER),
    Row("assignments:assignment-remove", BOTH, TEACHER, ("assignment",)),
    Row("assignments:assignment-restore", WRITE, TEACHER, ("assignment",)),
    Row("assignments:variation-remove", BOTH, TEACHER, ("variation",)),
    Row("assignments:variation-restore", WRITE, TEACHER, ("variation",)),
    Row("assignments:variation-confirm", WRITE, TEACHER, ("variation",)),
    Row("assignments:variation-take-back", WRITE, TEACHER, ("variation",)),
    Row("assignments:progress", READ, TEACHER),
    Row("assignments:comfort", READ, TEACHER),
    Row("assignments:comfort-look", WRITE, TEACHER),
    Row("assignments:student-comfort", READ, TEACHER, ("student",)),
    Row("assignments:student-comfort-look", WRITE, TEACHER, ("student",)),
    Row("assignments:way-out", READ, TEACHER, ("student",)),
    Row("assignments:my-playing", READ, STUDENT),
    Row("assignments:my-playing-look", WRITE, STUDENT),
    Row("assignments:student-takes", READ, TEACHER, ("student",)),
    Row("assignments:lesson-take", BOTH, TEACHER, ("student",)),
    Row("assignments:takes", READ, STUDENT),
    Row("assignments:record", READ, STUDENT),
    Row("assignments:take-upload", BOTH, STUDENT),
    Row("assignments:kit-map", BOTH, STUDENT),
    Row("assignments:delay", READ, STUDENT),
    Row("assignments:about-me", READ, STUDENT),
    Row("assignments:about-me-download", READ, STUDENT),
    Row("assignments:take", READ, SIGNED_IN, ("take",)),
    Row("assignments:take-again", WRITE, SIGNED_IN, ("take",)),
    Row("assignments:take-tempo", WRITE, SIGNED_IN, ("take",)),
    Row("assignments:take-remove", BOTH, SIGNED_IN, ("take",)),
    Row("assignments:take-restore", WRITE, SIGNED_IN, ("take",)),
    Row("assignments:api-takes", BOTH, STUDENT, api=True),
    Row("assignments:today", READ, STUDENT),
    Row("assignments:play", READ, STUDENT),
    Row("assignments:my-fills", READ, STUDENT),
    Row("assignments:fill", READ, STUDENT, ("variation",)),
    Row("assignments:log", WRITE, STUDENT, ("variation",)),
    Row("assignments:master", WRITE, STUDENT, ("variation",)),
    Row("assignments:take-back", WRITE, STUDENT, ("variation",)),
    Row("assignments:my-progress", READ, STUDENT),
    Row("assignments:my-log", READ, STUDENT),
    Row("assignments:entry-edit", BOTH, STUDENT, ("entry",)),
    Row("assignments:entry-remove", BOTH, STUDENT, ("entry",)),
    Row("assignments:entry-restore", WRITE, STUDENT, ("entry",)),
    Row("assignments:assignment-files", READ, TEACHER, ("assignment",)),
    Row("assignments:assignment-file", READ, TEACHER, ("assignment", "file_kind")),
    Row("assignments:student-week", READ, TEACHER, ("student",)),
    Row("assignments:student-week-pdf", READ, TEACHER, ("student",)),
    Row("assignments:fill-files", READ, STUDENT, ("variation",)),
    Row("assignments:my-week", READ, STUDENT),
    Row("assignments:my-week-pdf", READ, STUDENT),
    Row("assignments:assignment-sheet", READ, SIGNED_IN, ("assignment",)),
    Row("assignments:assignment-pdf", READ, SIGNED_IN, ("assignment",)),
    Row("assignments:variation-pdf", READ, SIGNED_IN, ("variation",)),
    Row("assignments:variation-file", READ, SIGNED_IN, ("variation", "file_kind")),
    Row("assignments:block-midi", READ, SIGNED_IN, ("variation",)),
    Row("assignments:block-audio", READ, SIGNED_IN, ("variation",)),
    Row("assignments:manifest", READ, EVERYONE),
    Row("assignments:service-worker", READ, EVERYONE),
    Row("assignments:offline", READ, EVERYONE),
    Row("assignments:api-device", READ, STUDENT, api=True),
    Row("assignments:api-variations", READ, STUDENT, api=True),
    Row("assignments:api-mastered", WRITE, STUDENT, ("variation",), api=True),
    Row("assignments:api-take-back", WRITE, STUDENT, ("variation",), api=True),
    Row("assignments:api-practice-entries", BOTH, STUDENT, api=True),
    Row("assignments:api-practice-entry", ("GET", "PATCH"), STUDENT, ("entry",), api=True),
    Row("assignments:api-student-progress", READ, TEACHER, ("student",), api=True),
]
