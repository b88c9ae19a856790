"""What the log may not tell."""

import logging

import pytest
from django.conf import settings

from conversions.common.logs import Masked, mask


@pytest.mark.parametrize(
    ("line", "masked"),
    [
        ("Gone: /p/7.Xy_z-9/", "Gone: /p/***/"),
        ("Not Found: /p/7.Xy_z/plan.pdf", "Not Found: /p/***/plan.pdf"),
        ('"GET /s/12.abc/ HTTP/1.1" 404', '"GET /s/***/ HTTP/1.1" 404'),
        ("Not Found: /c/3.k/sheet.pdf", "Not Found: /c/***/sheet.pdf"),
        ("Gone: /join/1.QQ-_x/", "Gone: /join/***/"),
        ("/sign-in/?next=/join/1.QQ/", "/sign-in/?next=/join/***/"),
        ("/sign-in/?next=%2Fjoin%2F1.QQ%2F", "/sign-in/?next=%2Fjoin%2F***%2F"),
        ("Not Found: /password/new/MQ/c5b2ab-0a1b2c/", "Not Found: /password/new/***/***/"),
        ("no mail for ines.new+x@oak.example today", "no mail for ***@*** today"),
        ("Not Found: /g/oak/yards/7/", "Not Found: /g/oak/yards/7/"),
    ],
)
def test_keys_of_links_and_e_mails_are_masked_and_the_rest_stays(line, masked):
    assert mask(line) == masked


def test_every_logger_of_the_site_writes_through_the_mask():
    assert settings.LOGGING["handlers"]["console"]["formatter"] == "masked"
    written = [
        h
        for name in ("", "django", "django.request", "django.server", "axes")
        for h in logging.getLogger(name).handlers
    ]
    ours = [h for h in written if type(h) is logging.StreamHandler]
    assert ours and all(isinstance(h.formatter, Masked) for h in ours)
    assert not any(type(h).__module__.startswith("django") for h in written)


@pytest.mark.django_db
@pytest.mark.parametrize("way", ["p", "s", "c", "join"])
def test_a_dead_link_leaves_no_key_in_the_log(client, caplog, way):
    with caplog.at_level(logging.WARNING):
        assert client.get(f"/{way}/77.secretkey/").status_code == 404
    lines = [Masked("%(message)s").format(record) for record in caplog.records]
    assert any("Not Found" in line for line in lines)
    assert "secretkey" not in "".join(lines)


def test_a_traceback_is_masked_too():
    try:
        raise ValueError("/p/7.secretkey/ of ines@oak.example")
    except ValueError:
        import sys

        record = logging.LogRecord("x", logging.ERROR, "x", 1, "broken", (), sys.exc_info())
    text = Masked().format(record)
    assert "secretkey" not in text and "ines@" not in text and "ValueError" in text


@pytest.mark.django_db
def test_a_wrong_password_leaves_no_e_mail_in_the_log(client, oak, caplog):
    with caplog.at_level(logging.INFO):
        for _try in range(6):
            client.post("/sign-in/", {"username": "lead@oak.example", "password": "wrong words here"})
    lines = "".join(Masked("%(message)s").format(record) for record in caplog.records)
    assert "lead@oak.example" not in lines and "wrong words here" not in lines
