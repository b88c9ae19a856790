"""Addresses of this part."""

from django.urls import path

from . import desk, new_people, put_right, views, withdraw_pages

urlpatterns = [
    path("", views.week, name="week"),
    path("search/", desk.search, name="search"),
    path("people/<int:pk>/all/", desk.person_all, name="person-all"),
    path("days/<int:pk>/close/", views.close, name="day-close"),
    path("days/<int:pk>/reopen/", put_right.day, name="day-reopen"),
    path("yards/<int:pk>/new-people/", new_people.new_people, name="yard-new-people"),
    path("yards/<int:pk>/undo/", put_right.enquiry, name="yard-undo"),
    path("yards/<int:pk>/withdraw/", withdraw_pages.withdraw, name="yard-withdraw"),
    path("yards/<int:pk>/not-now/", withdraw_pages.not_now, name="yard-not-now"),
    path("yards/<int:pk>/take-up/", withdraw_pages.take_up, name="yard-take-up"),
    path("photos/<int:pk>/remove/", put_right.photo, name="photo-remove"),
    path("quotes/<int:pk>/reply/undo/", put_right.reply, name="reply-undo"),
]
