"""Addresses of prices and quotes."""

from django.urls import path

from . import book_views, line_views, views

urlpatterns = [
    path("prices/", book_views.prices, name="prices"),
    path("prices/prices.csv", book_views.file_out, name="prices-csv"),
    path("prices/file/", book_views.file_in, name="prices-file"),
    path("prices/<slug:slug>/", book_views.price, name="price"),
    path("yards/<int:pk>/quote/", views.draft, name="quote-draft"),
    path("quotes/<int:pk>/", views.quote, name="quote"),
    path("quotes/<int:pk>/again/", views.again, name="quote-again"),
    path("quotes/<int:pk>/price/", line_views.price, name="quote-price"),
    path("quotes/<int:pk>/line/<int:n>/", line_views.line, name="quote-line"),
    path("quotes/<int:pk>/line/<slug:kind>/", line_views.line_new, name="quote-line-new"),
    path("quotes/<int:pk>/deposit/", line_views.deposit, name="quote-deposit"),
    path("quotes/<int:pk>/send/", views.send, name="quote-send"),
    path("quotes/<int:pk>/paper.pdf", views.paper, name="quote-paper"),
    path("quotes/<int:pk>/reply/", views.reply, name="quote-reply"),
    path("quotes/<int:pk>/payment/", views.pay, name="quote-payment"),
]
