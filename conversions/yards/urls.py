"""Addresses of this part."""

from django.urls import path, re_path

from .views import board, compare, ground, holds, photos, plan, plan_print, queue, yards

PLAN = "yards/<int:pk>/plan/"

urlpatterns = [
    path("yards/", yards.yards, name="yards"),
    path("yards/new/", yards.enquiry, name="enquiry"),
    path("yards/<int:pk>/", yards.yard, name="yard"),
    path("yards/<int:pk>/again/", yards.again, name="yard-again"),
    path("yards/<int:pk>/edit/", yards.edit, name="yard-edit"),
    path("yards/<int:pk>/same-ground/", ground.same, name="yard-same-ground"),
    path("yards/<int:pk>/holds/new/", holds.new, name="hold-new"),
    path("holds/<int:pk>/", holds.hold, name="hold"),
    path("holds/<int:pk>/override/", holds.override, name="hold-override"),
    path("holds/<int:pk>/paper/", holds.paper, name="hold-paper"),
    path(PLAN, plan.plan, name="plan"),
    path(f"{PLAN}patches/new/", plan.patch_new, name="plan-patch-new"),
    path(f"{PLAN}patches/<uuid:uid>/", plan.patch, name="plan-patch"),
    path(f"{PLAN}patches/<uuid:uid>/sides/<slug:corner>/", plan.side, name="plan-side"),
    path(f"{PLAN}patches/<uuid:uid>/across/", compare.across, name="plan-across"),
    path(f"{PLAN}patches/<uuid:uid>/remove/", plan.patch_remove, name="plan-patch-remove"),
    re_path(
        r"^yards/(?P<pk>[0-9]+)/plan/patches/(?P<uid>[0-9a-f-]{36})/beds/(?P<kind>mounded|framed|pocket)/$",
        plan.bed_new,
        name="plan-bed-new",
    ),
    path(f"{PLAN}beds/<uuid:uid>/", plan.bed, name="plan-bed"),
    path(f"{PLAN}beds/<uuid:uid>/remove/", plan.bed_remove, name="plan-bed-remove"),
    path(f"{PLAN}depths/", plan.settings, name="plan-settings"),
    path(f"{PLAN}numbers/", plan.numbers, name="plan-numbers"),
    path(f"{PLAN}queue/", queue.queue, name="plan-queue"),
    path(f"{PLAN}try/", plan.try_out, name="plan-try"),
    path(f"{PLAN}draw/", board.page, name="plan-board"),
    path(f"{PLAN}draw/offline/", board.offline, name="plan-board-offline"),
    path(f"{PLAN}draw/try/", board.try_board, name="plan-board-try"),
    path(f"{PLAN}compare/", compare.compare, name="plan-compare"),
    path(f"{PLAN}print/", plan_print.plan_print, name="plan-print"),
    path(f"{PLAN}back/", plan.back, name="plan-back"),
    path(f"{PLAN}keep/", plan.keep, name="plan-keep"),
    re_path(r"^photos/(?P<pk>[0-9]+)/(?P<size>view|thumb)/$", photos.photo, name="photo"),
    path("photos/<int:pk>/", photos.photo_page, name="photo-page"),
    path("photos/<int:pk>/blur/", photos.photo_blur, name="photo-blur"),
    path("photos/<int:pk>/people/", photos.photo_people, name="photo-people"),
    path("photos/<int:pk>/where/", photos.photo_where, name="photo-where"),
    path("photos/<int:pk>/move/", photos.photo_move, name="photo-move"),
]
