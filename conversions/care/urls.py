"""Addresses of this part."""

from django.urls import path

from . import views

urlpatterns = [
    path("aftercare/", views.aftercare, name="aftercare"),
    path("follow-ups/<int:pk>/", views.follow_up, name="follow-up"),
    path("follow-ups/<int:pk>/photos/", views.follow_up_photo, name="follow-up-photo"),
    path("care-sheets/<int:pk>/paper.pdf", views.care_sheet, name="care-sheet"),
    path("care-sheets/<int:pk>/handed/", views.handed, name="care-sheet-handed"),
]
