"""Every address, one include per part, in trade order."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("", include("conversions.groups.urls")),
    path("", include("conversions.people.public_urls")),
    path("", include("conversions.visits.public_urls")),
    path("g/<slug:group>/", include("conversions.groups.group_urls")),
    path("g/<slug:group>/", include("conversions.people.urls")),
    path("g/<slug:group>/", include("conversions.yards.urls")),
    path("g/<slug:group>/", include("conversions.visits.urls")),
    path("g/<slug:group>/", include("conversions.quotes.urls")),
    path("g/<slug:group>/", include("conversions.builds.urls")),
    path("g/<slug:group>/", include("conversions.care.urls")),
    path("g/<slug:group>/", include("conversions.tally.urls")),
    path("g/<slug:group>/", include("conversions.office.urls")),
    path("g/<slug:group>/", include("conversions.office.telling_urls")),
    path("p/", include("conversions.quotes.public_urls")),
    path("p/", include("conversions.office.public_urls")),
    path("s/", include("conversions.builds.public_urls")),
    path("c/", include("conversions.care.public_urls")),
    path("admin/", admin.site.urls),
]
