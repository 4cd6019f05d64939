"""Addresses of this app: things are named by the code painted on the machine."""

from django.urls import path

from restoration.machine.views import designs, queries, racks, signals, slots, units, wire_list, wiring

app_name = "machine"
urlpatterns = [
    path("racks/", racks.rack_list, name="rack-list"),
    path("racks/add/", racks.rack_add, name="rack-add"),
    path("racks/of/<code:code>/", racks.rack_detail, name="rack-detail"),
    path("racks/of/<code:code>/edit/", racks.rack_edit, name="rack-edit"),
    path("slots/", slots.slot_list, name="slot-list"),
    path("slots/add/", slots.slot_add, name="slot-add"),
    path("slots/of/<code:code>/", slots.slot_detail, name="slot-detail"),
    path("slots/of/<code:code>/edit/", slots.slot_edit, name="slot-edit"),
    path("slots/of/<code:code>/terminals/add/", slots.terminal_add, name="terminal-add"),
    path("designs/", designs.design_list, name="design-list"),
    path("designs/add/", designs.design_add, name="design-add"),
    path("designs/of/<code:number>/", designs.design_detail, name="design-detail"),
    path("designs/of/<code:number>/edit/", designs.design_edit, name="design-edit"),
    path("designs/of/<code:number>/issues/add/", designs.issue_add, name="issue-add"),
    path("designs/of/<code:number>/bench-figures/", designs.bench_points, name="bench-points"),
    path("chassis/", units.chassis_list, name="chassis-list"),
    path("chassis/add/", units.chassis_add, name="chassis-add"),
    path("chassis/of/<code:serial>/", units.chassis_detail, name="chassis-detail"),
    path("chassis/of/<code:serial>/edit/", units.chassis_edit, name="chassis-edit"),
    path("signals/", signals.signal_list, name="signal-list"),
    path("signals/add/", signals.signal_add, name="signal-add"),
    path("signals/of/<code:name>/", signals.signal_detail, name="signal-detail"),
    path("signals/of/<code:name>/limits/", signals.signal_limits, name="signal-limits"),
    path("wire-list/", wiring.interconnect_list, name="interconnect-list"),
    path("wire-list/add/", wiring.interconnect_add, name="interconnect-add"),
    path("wire-list/bring-in/", wire_list.wire_list_import, name="wire-list-import"),
    path("wire-list/bring-in/<code:word>/", wire_list.wire_list_confirm, name="wire-list-confirm"),
    path("wire-list/file/", wire_list.wire_list_export, name="wire-list-export"),
    path("wire-list/of/<code:code>/", wiring.interconnect_detail, name="interconnect-detail"),
    path("wire-list/of/<code:code>/edit/", wiring.interconnect_edit, name="interconnect-edit"),
    path("queries/", queries.query_list, name="query-list"),
    path("queries/add/", queries.query_add, name="query-add"),
    path("queries/<int:pk>/", queries.query_detail, name="query-detail"),
    path("queries/<int:pk>/answer/", queries.query_answer, name="query-answer"),
]
