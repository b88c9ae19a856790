"""Addresses of the outbox."""

from django.urls import path

from . import telling

urlpatterns = [
    path("messages/", telling.outgoing, name="messages"),
    path("messages/test/", telling.test, name="message-test"),
    path("messages/<int:pk>/", telling.message, name="message"),
    path("messages/<int:pk>/done/", telling.done, name="message-done"),
    path("messages/<int:pk>/again/", telling.again, name="message-again"),
    path("messages/<int:pk>/paper.pdf", telling.paper, name="message-paper"),
    path("messages/<int:pk>/letter.pdf", telling.letter, name="message-letter"),
]
