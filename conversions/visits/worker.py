"""The service worker's own address: at the root, so that it may answer for every visit, and never kept by a browser."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe


@login_not_required
@never_cache
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    return render(request, "sw.js", content_type="text/javascript; charset=utf-8")
