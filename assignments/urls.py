"""Addresses of what is assigned, practised and seen of it."""

from django.urls import path

from assignments.assigning import views as assigning
from assignments.comfort import views as comfort
from assignments.downloads import views as downloads
from assignments.offline import api as offline_api
from assignments.offline import views as offline
from assignments.practice import api as practice_api
from assignments.practice import views as practice
from assignments.practice.heard_alone import heard
from assignments.practice.waiting_picture import fill_picture
from assignments.privacy import views as privacy
from assignments.progress import api as progress_api
from assignments.progress import views as progress
from assignments.reminders import views as reminders
from assignments.students import views as students
from assignments.takes import api as takes_api
from assignments.takes import views as takes
from assignments.today import views as today

app_name = "assignments"
urlpatterns = [
    # teacher
    path("roster/", students.roster, name="roster"),
    path("students/<int:pk>/", students.student, name="student"),
    path("students/<int:pk>/progress/", progress.student_progress, name="student-progress"),
    path("students/<int:pk>/grooves/", students.student_grooves, name="student-grooves"),
    path("assign/", assigning.assign, name="assign"),
    path("assign/draw/", assigning.draw, name="draw"),
    path("assignments/<int:pk>/remove/", students.assignment_remove, name="assignment-remove"),
    path("assignments/<int:pk>/restore/", students.assignment_restore, name="assignment-restore"),
    path("variations/<int:pk>/remove/", students.variation_remove, name="variation-remove"),
    path("variations/<int:pk>/restore/", students.variation_restore, name="variation-restore"),
    path("students/<int:pk>/takes/", takes.student_takes, name="student-takes"),
    path("students/<int:pk>/lesson-take/", takes.lesson_take, name="lesson-take"),
    path("variations/<int:pk>/name/", students.variation_name, name="variation-name"),
    path("variations/<int:pk>/confirm/", students.variation_confirm, name="variation-confirm"),
    path(
        "variations/<int:pk>/take-back/", students.variation_take_back, name="variation-take-back"
    ),
    path("progress/", progress.progress, name="progress"),
    path("comfort/", comfort.comfort, name="comfort"),
    path("comfort/look/", comfort.comfort_look, name="comfort-look"),
    path("students/<int:pk>/comfort/", comfort.student_comfort, name="student-comfort"),
    path(
        "students/<int:pk>/comfort/look/", comfort.student_comfort_look, name="student-comfort-look"
    ),
    path("students/<int:pk>/way-out/", comfort.way_out, name="way-out"),
    path("assignments/<int:pk>/files/", downloads.assignment_files, name="assignment-files"),
    path(
        "assignments/<int:pk>/fills.<str:kind>", downloads.assignment_file, name="assignment-file"
    ),
    path("students/<int:pk>/week/", downloads.student_week, name="student-week"),
    path("students/<int:pk>/week.pdf", downloads.student_week_pdf, name="student-week-pdf"),
    # student
    path("today/", today.today, name="today"),
    path("today/play/", today.play, name="play"),
    path("today/gained/", today.week_gained, name="week-gained"),
    path("fills/", progress.my_fills, name="my-fills"),
    path("fills/<int:pk>/", practice.fill, name="fill"),
    path("fills/<int:pk>/block/", practice.fill_block, name="fill-block"),
    path("fills/<int:pk>/log/", practice.log, name="log"),
    path("fills/<int:pk>/mastered/", practice.master, name="master"),
    path("fills/<int:pk>/take-back/", practice.take_back, name="take-back"),
    path("my-progress/", progress.my_progress, name="my-progress"),
    path("log/", practice.my_log, name="my-log"),
    path("playing/", comfort.my_playing, name="my-playing"),
    path("playing/look/", comfort.my_playing_look, name="my-playing-look"),
    path("log/<uuid:pk>/", practice.entry_edit, name="entry-edit"),
    path("log/<uuid:pk>/remove/", practice.entry_remove, name="entry-remove"),
    path("log/<uuid:pk>/restore/", practice.entry_restore, name="entry-restore"),
    path("fills/<int:pk>/files/", downloads.fill_files, name="fill-files"),
    path("week/", downloads.my_week, name="my-week"),
    path("week.pdf", downloads.my_week_pdf, name="my-week-pdf"),
    path("takes/", takes.takes, name="takes"),
    path("takes/record/", takes.record, name="record"),
    path("takes/upload/", takes.take_upload, name="take-upload"),
    path("takes/kit/", takes.kit_map, name="kit-map"),
    path("takes/delay/", takes.delay, name="delay"),
    path("reminder/", reminders.reminder, name="reminder"),
    path("reminder/calendar/", reminders.reminder_calendar, name="reminder-calendar"),
    path("reminder/off/", reminders.reminder_off, name="reminder-off"),
    path("about-me/", privacy.about_me, name="about-me"),
    path("about-me/everything.json", privacy.about_me_download, name="about-me-download"),
    # both
    path("fills/<int:pk>/picture/", fill_picture, name="fill-picture"),
    path("takes/<uuid:pk>/", takes.take, name="take"),
    path("takes/<uuid:pk>/again/", takes.take_again, name="take-again"),
    path("takes/<uuid:pk>/tempo/", takes.take_tempo, name="take-tempo"),
    path("takes/<uuid:pk>/count/", takes.take_count, name="take-count"),
    path("takes/<uuid:pk>/groove/", takes.take_groove, name="take-groove"),
    path("takes/<uuid:pk>/remove/", takes.take_remove, name="take-remove"),
    path("takes/<uuid:pk>/restore/", takes.take_restore, name="take-restore"),
    path("assignments/<int:pk>/sheet/", downloads.assignment_sheet, name="assignment-sheet"),
    path("assignments/<int:pk>/sheet.pdf", downloads.assignment_pdf, name="assignment-pdf"),
    path("variations/<int:pk>/fill.pdf", downloads.variation_pdf, name="variation-pdf"),
    path("variations/<int:pk>/fill.<str:kind>", downloads.variation_file, name="variation-file"),
    path("variations/<int:pk>/heard.json", heard, name="heard"),
    path("variations/<int:pk>/block.mid", downloads.block_midi, name="block-midi"),
    path("variations/<int:pk>/block.mp3", downloads.block_audio, name="block-audio"),
    # the app on a student's device
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("service-worker.js", offline.service_worker, name="service-worker"),
    path("offline/", offline.offline, name="offline"),
    # programs
    path("api/takes/", takes_api.ApiTakes.as_view(), name="api-takes"),
    path("api/device/", offline_api.ApiDevice.as_view(), name="api-device"),
    path("api/variations/", practice_api.ApiVariations.as_view(), name="api-variations"),
    path(
        "api/variations/<int:pk>/mastered/", practice_api.ApiMastered.as_view(), name="api-mastered"
    ),
    path(
        "api/variations/<int:pk>/take-back/",
        practice_api.ApiTakeBack.as_view(),
        name="api-take-back",
    ),
    path(
        "api/practice-entries/",
        practice_api.ApiPracticeEntries.as_view(),
        name="api-practice-entries",
    ),
    path(
        "api/practice-entries/<uuid:pk>/",
        practice_api.ApiPracticeEntry.as_view(),
        name="api-practice-entry",
    ),
    path(
        "api/students/<int:pk>/progress/",
        progress_api.ApiStudentProgress.as_view(),
        name="api-student-progress",
    ),
]
