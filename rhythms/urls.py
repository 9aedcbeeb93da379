"""Addresses of bars, rule sets, ladders and renderings."""

from django.urls import path, register_converter

from rhythms import api
from rhythms.bar_imports import views as bar_imports
from rhythms.bars import views as bars
from rhythms.grooves import views as grooves
from rhythms.ladders import views as ladders
from rhythms.renderings import views as renderings
from rhythms.renderings.rendering_key import RenderingKey
from rhythms.rudiments import views as rudiments
from rhythms.rule_sets import views as rule_sets
from rhythms.sounds import views as sounds
from rhythms.style import views as style

register_converter(RenderingKey, "key")

app_name = "rhythms"
urlpatterns = [
    path("bars/", bars.bars, name="bars"),
    path("bars/new/", bars.bar_new, name="bar-new"),
    path("bars/preview/", bars.bar_preview, name="bar-preview"),
    path("bars/import/", bar_imports.bar_import, name="bar-import"),
    path("bars/import/<uuid:pk>/", bar_imports.bar_import_file, name="bar-import-file"),
    path("bars/import/<uuid:pk>/state/", bar_imports.bar_import_state, name="bar-import-state"),
    path("bars/grooves/", grooves.grooves, name="grooves"),
    path("bars/grooves/new/", grooves.groove_new, name="groove-new"),
    path("bars/grooves/preview/", grooves.groove_preview, name="groove-preview"),
    path("bars/grooves/library/<slug:slug>/", grooves.library_groove, name="library-groove"),
    path(
        "bars/grooves/library/<slug:slug>/groove.<str:kind>",
        grooves.library_groove_file,
        name="library-groove-file",
    ),
    path("bars/grooves/<int:pk>/", grooves.groove, name="groove"),
    path("bars/grooves/<int:pk>/groove.<str:kind>", grooves.groove_file, name="groove-file"),
    path("bars/grooves/<int:pk>/edit/", grooves.groove_edit, name="groove-edit"),
    path("bars/grooves/<int:pk>/remove/", grooves.groove_remove, name="groove-remove"),
    path("bars/grooves/<int:pk>/restore/", grooves.groove_restore, name="groove-restore"),
    path("bars/<int:pk>/", bars.bar, name="bar"),
    path("bars/<int:pk>/edit/", bars.bar_edit, name="bar-edit"),
    path("bars/<int:pk>/remove/", bars.bar_remove, name="bar-remove"),
    path("bars/<int:pk>/restore/", bars.bar_restore, name="bar-restore"),
    path("bars/<int:pk>/sheet/", bars.bar_sheet, name="bar-sheet"),
    path("bars/<int:pk>/sheet.pdf", bars.bar_pdf, name="bar-pdf"),
    path("bars/<int:pk>/bar.<str:kind>", bars.bar_file, name="bar-file"),
    path("rule-sets/", rule_sets.rule_sets, name="rule-sets"),
    path("rule-sets/new/", rule_sets.rule_set_new, name="rule-set-new"),
    path("rule-sets/preview/", rule_sets.rule_set_preview, name="rule-set-preview"),
    path("rule-sets/rows/", rule_sets.rule_set_rows, name="rule-set-rows"),
    path("rule-sets/<int:pk>/", rule_sets.rule_set, name="rule-set"),
    path("rule-sets/<int:pk>/edit/", rule_sets.rule_set_edit, name="rule-set-edit"),
    path("rule-sets/<int:pk>/remove/", rule_sets.rule_set_remove, name="rule-set-remove"),
    path("rule-sets/<int:pk>/restore/", rule_sets.rule_set_restore, name="rule-set-restore"),
    path("rule-sets/rudiments/", rudiments.rudiments, name="rudiments"),
    path("rule-sets/rudiments/bar/", rudiments.rudiment_bar, name="rudiment-bar"),
    path("rule-sets/ladders/", ladders.ladders, name="ladders"),
    path("rule-sets/ladders/new/", ladders.ladder_new, name="ladder-new"),
    path("rule-sets/ladders/<int:pk>/edit/", ladders.ladder_edit, name="ladder-edit"),
    path("rule-sets/ladders/<int:pk>/remove/", ladders.ladder_remove, name="ladder-remove"),
    path("rule-sets/ladders/<int:pk>/restore/", ladders.ladder_restore, name="ladder-restore"),
    path("rule-sets/ladders/<int:pk>/steps/", ladders.step_add, name="step-add"),
    path("rule-sets/steps/<int:pk>/move/", ladders.step_move, name="step-move"),
    path("rule-sets/steps/<int:pk>/remove/", ladders.step_remove, name="step-remove"),
    path("rule-sets/steps/<int:pk>/restore/", ladders.step_restore, name="step-restore"),
    path("studio/style/", style.style, name="style"),
    path("studio/style/playing/", style.own_playing_add, name="own-playing-add"),
    path("studio/style/playing/clear/", style.own_playing_clear, name="own-playing-clear"),
    path(
        "studio/style/playing/<int:pk>/remove/",
        style.own_playing_remove,
        name="own-playing-remove",
    ),
    path(
        "studio/style/playing/<int:pk>/restore/",
        style.own_playing_restore,
        name="own-playing-restore",
    ),
    path("renderings/<key:key>/", renderings.rendering, name="rendering"),
    path("renderings/<key:key>.svg", renderings.rendering_svg, name="rendering-svg"),
    path("renderings/<key:key>/retry/", renderings.rendering_retry, name="rendering-retry"),
    path("sounds/", sounds.sounds, name="sounds"),
    path("sounds/<str:version>/<str:slug>.mp3", sounds.sound, name="sound"),
    path("files/<str:ticket>/", renderings.file_state, name="file-state"),
    path("files/<str:ticket>/file/", renderings.file, name="file"),
    path("api/fill-space/", api.ApiFillSpace.as_view(), name="api-fill-space"),
]
