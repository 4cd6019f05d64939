"""The site, with one address more that nobody decided about."""

from django.http import HttpRequest, HttpResponse
from django.urls import path

from restoration.urls import urlpatterns as site


def undecided(request: HttpRequest) -> HttpResponse:
    return HttpResponse("Something that nobody should read.")


urlpatterns = [*site, path("undecided/", undecided, name="undecided")]
