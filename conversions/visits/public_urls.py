"""What belongs to no group: the service worker."""

from django.urls import path

from .worker import worker

urlpatterns = [path("sw.js", worker, name="worker")]
