"""The one place that makes PDFs: tagged, and shut to everything outside."""

import io
import logging

import pytest
from pypdf import PdfReader

from conversions.common import pdf
from conversions.groups.models import Group

GROUP = Group(name="Oak Street Growers", phone="000 000 000")
TEMPLATE = """{% extends "base_paper.html" %}{% block title %}A paper{% endblock %}{% block main %}
<h1>A paper</h1>{{ asks|safe }}
<table><thead><tr><th scope="col">What</th><th scope="col">Much</th></tr></thead>
<tbody><tr><th scope="row">Chips</th><td>{{ words }}</td></tr></tbody></table>
<p><a href="mailto:x@oak.example">write</a></p>{% endblock %}"""


@pytest.fixture
def paper(settings):
    """Renders TEMPLATE beside the project's own templates."""
    settings.TEMPLATES = [
        {
            **settings.TEMPLATES[0],
            "APP_DIRS": False,
            "OPTIONS": {
                "loaders": [
                    ("django.template.loaders.locmem.Loader", {"test.html": TEMPLATE}),
                    "django.template.loaders.filesystem.Loader",
                ]
            },
        }
    ]
    return lambda **context: pdf.render("test.html", {"group": GROUP, **context})


def read(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def test_a_paper_has_a_title_a_language_and_tags(paper):
    found = read(paper())
    root = found.trailer["/Root"]
    assert (found.metadata.title, root["/Lang"], bool(root["/MarkInfo"]["/Marked"])) == ("A paper", "en", True)


def test_every_link_is_marked_for_print(paper):
    notes = [note.get_object() for page in read(paper()).pages for note in page.get("/Annots", [])]
    assert notes and all(note["/F"] & 4 for note in notes)


def test_words_of_people_are_never_markup(paper):
    text = read(paper(words="<img src=x> & <b>bold</b>")).pages[0].extract_text()
    assert "<b>bold</b>" in text


@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:9/a.jpg", "https://oak.example/a.jpg", "file:///etc/passwd", "/etc/passwd", "ftp://x/a.jpg",
        "data:image/svg+xml,%3Csvg/%3E", "photo:8", "photo:x", "static:../settings.py", "static:/etc/passwd",
        "static:css/none.css", "static:js/quote.js",
    ],
)  # fmt: skip
def test_the_fetcher_refuses_everything_but_its_own(paper, address, caplog):
    with caplog.at_level(logging.WARNING):
        content = paper(asks=f'<img alt="" src="{address}"><link rel="stylesheet" href="{address}">')
    assert not read(content).pages[0].images
    assert caplog.records


def test_a_photo_is_shown_only_when_it_was_handed_over(paper):
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (40, 30), "green").save(out, "JPEG")
    asks = '<img alt="the lawn" src="photo:7">'
    shown = pdf.render("test.html", {"group": GROUP, "asks": asks}, photos={7: out.getvalue()})
    assert len(read(shown).pages[0].images) == 1
    assert len(read(paper(asks=asks)).pages[0].images) == 0


def test_our_own_stylesheet_is_found_without_a_warning(paper, caplog):
    with caplog.at_level(logging.WARNING):
        paper()
    assert not caplog.records
