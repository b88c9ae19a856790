"""Addresses of prices and quotes."""

from django.urls import path

from . import views

urlpatterns = [
    path("prices/", views.prices, name="prices"),
    path("yards/<int:pk>/quote/", views.draft, name="quote-draft"),
    path("quotes/<int:pk>/", views.quote, name="quote"),
    path("quotes/<int:pk>/price/", views.price, name="quote-price"),
    path("quotes/<int:pk>/line/<int:n>/", views.line, name="quote-line"),
    path("quotes/<int:pk>/send/", views.send, name="quote-send"),
    path("quotes/<int:pk>/paper.pdf", views.paper, name="quote-paper"),
    path("quotes/<int:pk>/reply/", views.reply, name="quote-reply"),
]
