"""Addresses of this part."""

urlpatterns = []
