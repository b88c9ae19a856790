"""The household's plan behind its link: read it, answer it. No account, no script, no cookie; reading changes nothing."""

import uuid

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone, translation
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods

from conversions.people.models import Link
from conversions.people.public import behind_link
from conversions.yards import holds
from conversions.yards.hold_kinds import ACCEPTING

from . import answers, proposal
from .forms import AnswerForm
from .models import Quote, Reply


# The address itself is the key and no cookie is used, so there is nothing for a foreign page to misuse; and a page that
# tells no referrer sends its form with an empty origin, which the usual check would refuse.
@csrf_exempt
@require_http_methods(["GET", "HEAD", "POST"])
@behind_link("plan")
def plan(request: HttpRequest, link: Link) -> HttpResponse:
    quote = _quote(link)
    with translation.override(proposal.language_of(quote)), timezone.override(quote.group.zone):
        return _answer(request, link, quote) if request.method == "POST" else _page(request, quote)


def _quote(link: Link) -> Quote:
    rows = Quote.of(link.group).select_related(
        "group", "document", "made_by__user", "conversion__place", "conversion__household__contact"
    )
    return rows.prefetch_related("lines").get(pk=link.subject_id)


def _answer(request: HttpRequest, link: Link, quote: Quote) -> HttpResponse:
    form = AnswerForm(request.POST)
    if not form.is_valid():
        return _page(request, quote, form, status=400)
    try:
        answers.record_reply(quote=quote, route="link", link=link, **form.cleaned_data)
    except (answers.Refused, answers.Held, answers.Clash, ValidationError, IntegrityError):
        return _page(request, _quote(link), form, status=409)
    return HttpResponseRedirect(f"{request.path}#answer")


def _page(request: HttpRequest, quote: Quote, form: AnswerForm | None = None, status: int = 200) -> HttpResponse:
    today = quote.group.today()
    page = {
        "group": quote.group,
        "quote": quote,
        "contact": quote.conversion.household.contact,
        "title": proposal.title(quote),
        "is_expired": quote.is_expired(today),
        "newest": _newest(quote),
        "said": _said(quote),
    }
    page["is_live"] = quote.state in ("sent", "accepted", "declined") and not page["is_expired"]
    page["can_answer"] = quote.state == "sent" and page["is_live"]
    if page["is_live"]:
        page |= proposal.context(quote) | proposal.drawings(quote)
    page["held"] = holds.why_not(quote.conversion, ACCEPTING, you=True) if page["can_answer"] else []
    page["is_refused"] = status == 409
    page["form"] = form or AnswerForm(initial={"uid": uuid.uuid4(), "name": page["contact"].name})
    return render(request, "quotes/plan.html", page, status=status)


def _newest(quote: Quote) -> Quote | None:
    """A later version of the same household's plan that may be answered; its link is not given out here."""
    rows = Quote.of(quote.group).filter(
        conversion=quote.conversion_id,
        conversion__household=quote.conversion.household_id,
        version__gt=quote.version,
        state__in=["sent", "accepted"],
    )
    return rows.order_by("-version").first()


def _said(quote: Quote) -> Reply | None:
    """The answer that counts, else the last thing said."""
    replies = Reply.of(quote.group).filter(quote=quote)
    return replies.filter(counts=True).order_by("-pk").first() or replies.order_by("-pk").first()


@require_GET
@behind_link("plan")
def paper(request: HttpRequest, link: Link) -> HttpResponse:
    """The paper as it was sent, byte for byte."""
    response = HttpResponse(bytes(_quote(link).document.content), content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="plan.pdf"'
    return response
