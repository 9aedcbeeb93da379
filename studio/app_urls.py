"""Addresses of the studio's own pages."""

from django.urls import path

from studio.access import teacher_required
from studio.accounts import views as accounts
from studio.operations import views as operations
from studio.people import views as people

app_name = "studio"
urlpatterns = [
    path("", accounts.landing, name="landing"),
    path("health/", operations.health, name="health"),
    path("metrics/", operations.metrics, name="metrics"),
    path("home/", accounts.home, name="home"),
    path("sign-up/", accounts.sign_up, name="sign-up"),
    path("sign-up/sent/", accounts.sign_up_sent, name="sign-up-sent"),
    path("sign-up/<str:token>/", accounts.open_studio, name="open-studio"),
    path("sign-in/", accounts.SignIn.as_view(), name="sign-in"),
    path("sign-out/", accounts.sign_out, name="sign-out"),
    path("forgotten-password/", accounts.forgotten, name="forgotten"),
    path("forgotten-password/sent/", accounts.forgotten_sent, name="forgotten-sent"),
    path(
        "new-password/<str:uidb64>/<str:token>/",
        accounts.NewPassword.as_view(),
        name="new-password",
    ),
    path("enter/", people.paste_link, name="paste-link"),
    path("enter/<str:secret>/", people.enter, name="enter"),
    path("studio/settings/", accounts.settings, name="settings"),
    path(
        "studio/settings/password/",
        teacher_required(accounts.ChangePassword.as_view()),
        name="change-password",
    ),
    path("studio/students/", people.students, name="students"),
    path("studio/students/add/", people.student_add, name="student-add"),
    path("studio/students/<int:pk>/", people.student_edit, name="student-edit"),
    path("studio/students/<int:pk>/remove/", people.student_remove, name="student-remove"),
    path("studio/removed/", people.removed, name="removed"),
    path("studio/students/<int:pk>/restore/", people.student_restore, name="student-restore"),
    path("studio/students/<int:pk>/links/", people.links, name="links"),
    path("studio/links/<int:pk>/revoke/", people.link_revoke, name="link-revoke"),
    path("studio/kits/", people.kits, name="kits"),
    path("studio/kits/add/", people.kit_add, name="kit-add"),
    path("studio/kits/<int:pk>/", people.kit_edit, name="kit-edit"),
    path("studio/kits/<int:pk>/remove/", people.kit_remove, name="kit-remove"),
    path("studio/kits/<int:pk>/restore/", people.kit_restore, name="kit-restore"),
]
