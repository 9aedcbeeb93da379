"""All addresses of the site. Names are `app:page`."""

from django.urls import include, path

urlpatterns = [
    path("", include("studio.app_urls")),
    path("", include("rhythms.urls")),
    path("", include("assignments.urls")),
]

handler500 = "studio.operations.error_page.server_error"
