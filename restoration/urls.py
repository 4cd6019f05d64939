"""Every address of the site."""

from django.urls import include, path

urlpatterns = [
    path("", include("restoration.commissioning.urls")),
    path("people/sign-in/", include("restoration.people.sign_in_urls")),
    path("people/", include("restoration.people.urls")),
    path("log-book/", include("restoration.logbook.urls")),
    path("machine/", include("restoration.machine.urls")),
    path("workshop/", include("restoration.workshop.urls")),
    path("proving/", include("restoration.proving.urls")),
    path("faults/", include("restoration.faults.urls")),
    path("in-place/", include("restoration.conditioning.urls")),
    path("sums/", include("restoration.sums.urls")),
    path("demo/", include("restoration.kestrel.urls")),
]
