"""Addresses of bars, rule sets, ladders and renderings."""

from django.urls import path

from rhythms import api
from rhythms.views import (
    bar_editor,
    bar_files,
    bars,
    files,
    importing,
    ladders,
    renderings,
    rule_set_editor,
    rule_sets,
    sounds,
)

app_name = "rhythms"
urlpatterns = [
    path("bars/", bars.bars, name="bars"),
    path("bars/new/", bar_editor.new, name="bar-new"),
    path("bars/preview/", bar_editor.preview, name="bar-preview"),
    path("bars/import/", importing.upload, name="bar-import"),
    path("bars/import/<uuid:pk>/", importing.file, name="bar-import-file"),
    path("bars/import/<uuid:pk>/state/", importing.state, name="bar-import-state"),
    path("bars/<int:pk>/", bars.bar, name="bar"),
    path("bars/<int:pk>/edit/", bar_editor.edit, name="bar-edit"),
    path("bars/<int:pk>/remove/", bars.remove, name="bar-remove"),
    path("bars/<int:pk>/restore/", bars.restore, name="bar-restore"),
    path("bars/<int:pk>/sheet/", bar_files.sheet, name="bar-sheet"),
    path("bars/<int:pk>/sheet.pdf", bar_files.sheet_pdf, name="bar-pdf"),
    path("bars/<int:pk>/bar.<str:kind>", bar_files.file, name="bar-file"),
    path("rule-sets/", rule_sets.rule_sets, name="rule-sets"),
    path("rule-sets/new/", rule_set_editor.new, name="rule-set-new"),
    path("rule-sets/preview/", rule_set_editor.preview, name="rule-set-preview"),
    path("rule-sets/rows/", rule_set_editor.rows, name="rule-set-rows"),
    path("rule-sets/<int:pk>/", rule_sets.rule_set, name="rule-set"),
    path("rule-sets/<int:pk>/edit/", rule_set_editor.edit, name="rule-set-edit"),
    path("rule-sets/<int:pk>/remove/", rule_sets.remove, name="rule-set-remove"),
    path("rule-sets/<int:pk>/restore/", rule_sets.restore, name="rule-set-restore"),
    path("rule-sets/ladders/", ladders.ladders, name="ladders"),
    path("rule-sets/ladders/new/", ladders.new, name="ladder-new"),
    path("rule-sets/ladders/<int:pk>/edit/", ladders.edit, name="ladder-edit"),
    path("rule-sets/ladders/<int:pk>/remove/", ladders.remove, name="ladder-remove"),
    path("rule-sets/ladders/<int:pk>/restore/", ladders.restore, name="ladder-restore"),
    path("rule-sets/ladders/<int:pk>/steps/", ladders.add_step, name="step-add"),
    path("rule-sets/steps/<int:pk>/move/", ladders.move_step, name="step-move"),
    path("rule-sets/steps/<int:pk>/remove/", ladders.remove_step, name="step-remove"),
    path("rule-sets/steps/<int:pk>/restore/", ladders.restore_step, name="step-restore"),
    path("renderings/<str:key>/", renderings.rendering, name="rendering"),
    path("renderings/<str:key>/retry/", renderings.retry, name="rendering-retry"),
    path("sounds/", sounds.sounds, name="sounds"),
    path("sounds/<str:version>/<str:slug>.mp3", sounds.sound, name="sound"),
    path("files/<str:ticket>/", files.state, name="file-state"),
    path("files/<str:ticket>/file/", files.file, name="file"),
    path("api/fill-space/", api.FillSpaceView.as_view(), name="api-fill-space"),
]
