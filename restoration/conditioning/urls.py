"""Addresses of signals in place."""

from django.urls import path

from restoration.conditioning.views import bench, constants, links, notes, scores

app_name = "conditioning"
urlpatterns = [
    path("links/<code:code>/", links.link_page, name="link"),
    path("links/<code:code>/trace/", links.link_trace, name="link-trace"),
    path("links/<code:code>/keep/", links.keep, name="keep-prediction"),
    path("links/<code:code>/note/", notes.note_add, name="note-add"),
    path("notes/<int:pk>/", notes.note_detail, name="note-detail"),
    path("notes/<int:pk>/card/", notes.note_card, name="note-card"),
    path("bench-and-place/", bench.bench_list, name="bench-list"),
    path("bench-and-place/<code:code>/", bench.bench_slot, name="bench-slot"),
    path("constants/", constants.constants, name="constants"),
    path("constants/use/", constants.constants_use, name="constants-use"),
    path("constants/<int:pk>/", constants.constants_detail, name="constants-detail"),
    path("scores/", scores.scores, name="scores"),
]
