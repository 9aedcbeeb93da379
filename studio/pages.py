"""Addresses of the studio's own pages."""

from django.urls import path

from studio.access import teacher_required
from studio.views import accounts, forgotten, kits, links, students

app_name = "studio"
urlpatterns = [
    path("", accounts.landing, name="landing"),
    path("home/", accounts.home, name="home"),
    path("sign-up/", accounts.sign_up, name="sign-up"),
    path("sign-in/", accounts.SignIn.as_view(), name="sign-in"),
    path("sign-out/", accounts.sign_out, name="sign-out"),
    path("forgotten-password/", forgotten.Forgotten.as_view(), name="forgotten"),
    path("forgotten-password/sent/", forgotten.sent, name="forgotten-sent"),
    path(
        "new-password/<str:uidb64>/<str:token>/",
        forgotten.NewPassword.as_view(),
        name="new-password",
    ),
    path("enter/<str:secret>/", links.enter, name="enter"),
    path("studio/settings/", accounts.settings, name="settings"),
    path(
        "studio/settings/password/",
        teacher_required(accounts.ChangePassword.as_view()),
        name="password",
    ),
    path("studio/students/", students.students, name="students"),
    path("studio/students/add/", students.add, name="student-add"),
    path("studio/students/<int:pk>/", students.edit, name="student-edit"),
    path("studio/students/<int:pk>/remove/", students.remove, name="student-remove"),
    path("studio/students/<int:pk>/restore/", students.restore, name="student-restore"),
    path("studio/students/<int:pk>/links/", links.links, name="links"),
    path("studio/links/<int:pk>/revoke/", links.revoke, name="link-revoke"),
    path("studio/kits/", kits.kits, name="kits"),
    path("studio/kits/add/", kits.add, name="kit-add"),
    path("studio/kits/<int:pk>/", kits.edit, name="kit-edit"),
    path("studio/kits/<int:pk>/remove/", kits.remove, name="kit-remove"),
    path("studio/kits/<int:pk>/restore/", kits.restore, name="kit-restore"),
]
