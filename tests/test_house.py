"""Who may import whom, and what may not be done outside its one place."""

import ast
import re
from pathlib import Path

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import models

from conversions.groups.tenancy import Grouped

ROOT = Path(__file__).parent.parent
HOUSE = ROOT / "conversions"
ORDER = [
    "sizing",
    "growing",
    "common",
    "groups",
    "people",
    "yards",
    "visits",
    "quotes",
    "builds",
    "care",
    "tally",
    "office",
]
FILES = [p for p in HOUSE.rglob("*.py") if p.parent != HOUSE and "migrations" not in p.parts]
KEYS = {"ForeignKey", "OneToOneField", "ManyToManyField"}


def reached(path: Path):
    """The parts a file imports or keys to, string keys included."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom):
            if node.level > 1 and len(path.relative_to(HOUSE).parts) - node.level < 1:
                yield (node.module or "").split(".")[0]
            elif (node.module or "").startswith("conversions."):
                yield node.module.split(".")[1]
        elif isinstance(node, ast.Import):
            yield from (a.name.split(".")[1] for a in node.names if a.name.startswith("conversions."))
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") in KEYS and node.args:
            yield getattr(node.args[0], "value", "").split(".")[0] if isinstance(node.args[0], ast.Constant) else ""


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(HOUSE)))
def test_no_part_looks_to_the_right(path):
    here = ORDER.index(path.relative_to(HOUSE).parts[0])
    assert [part for part in reached(path) if part in ORDER and ORDER.index(part) > here] == []


@pytest.mark.parametrize("path", [p for p in FILES if p.relative_to(HOUSE).parts[0] in ("sizing", "growing")], ids=str)
def test_the_engine_knows_only_the_standard_library_and_shapely(path):
    import sys

    allowed = sys.stdlib_module_names | {"shapely", "conversions"}
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom) and node.level == 0:
            assert node.module.split(".")[0] in allowed
        elif isinstance(node, ast.Import):
            assert all(a.name.split(".")[0] in allowed for a in node.names)


def test_rows_are_deleted_only_where_erasing_lives():
    guilty = []
    for path in FILES:
        if path.relative_to(HOUSE).as_posix() == "office/forget.py":
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "delete":
                target = ast.unparse(node.func.value)
                if not re.search(r"storage|cache|session", target):
                    guilty.append(f"{path.relative_to(HOUSE)}:{node.lineno} {target}.delete()")
    assert guilty == []


def test_the_unfiltered_manager_is_called_only_where_it_may():
    allowed = re.compile(
        r"admin\.py|public\.py|people/links\.py|people/outbox\.py|office/|management/commands/|groups/tenancy\.py|/models"
    )
    guilty = []
    for path in FILES:
        name = path.relative_to(HOUSE).as_posix()
        if not allowed.search(name) and re.search(r"\.everywhere\b", path.read_text()):
            guilty.append(name)
    assert guilty == []


OURS = [m for m in apps.get_models() if m.__module__.startswith("conversions.") and issubclass(m, Grouped)]
TELLING = (models.CharField, models.TextField, models.JSONField, models.FileField, models.BinaryField)


@pytest.mark.parametrize("model", OURS, ids=lambda m: m.__name__)
def test_every_telling_field_is_declared_personal_or_plain(model):
    telling = {f.name for f in model._meta.concrete_fields if isinstance(f, TELLING)}
    declared = set(model.personal) | set(model.plain)
    assert telling - declared == set()
    assert declared - {f.name for f in model._meta.concrete_fields} == set()
    assert set(model.personal) & set(model.plain) == set()


@pytest.mark.parametrize("model", OURS, ids=lambda m: m.__name__)
def test_a_groups_rows_have_no_manager_called_objects(model):
    assert not hasattr(model, "objects")
    assert model._base_manager.name == "everywhere"


@pytest.mark.parametrize("model", OURS, ids=lambda m: m.__name__)
def test_optional_fields_may_be_blank_and_keys_restrict(model):
    for field in model._meta.concrete_fields:
        if field.null or (isinstance(field, models.JSONField) and field.default in (dict, list)):
            assert field.blank, f"{field.name} needs blank=True"
        if isinstance(field, models.ForeignKey):
            assert field.remote_field.on_delete in (models.CASCADE, models.RESTRICT)


def test_no_template_or_script_brings_code_or_style_of_its_own():
    guilty = []
    for path in [*(ROOT / "templates").rglob("*.html"), *(HOUSE / "static").rglob("*.*")]:
        if path.suffix in (".html", ".js", ".css", ".svg"):
            text = path.read_text()
            if re.search(
                r"""<style|<script(?![^>]*\bsrc=)|\sstyle=["']|\son(click|submit|change|load|input)=|@import""", text
            ):
                guilty.append(path.name)
            if re.search(r"""(src|href)=["']https?://|url\(["']?https?://""", text):
                guilty.append(f"{path.name} (from elsewhere)")
    assert guilty == []


def test_no_migration_is_missing(db):
    call_command("makemigrations", "--check", "--dry-run", "-v0")


def test_the_deployment_check_finds_nothing(tmp_path):
    """In a process of its own: settings are read once, and this one needs the serious ones."""
    import os
    import subprocess
    import sys

    env = os.environ | {
        "DEBUG": "0",
        "HTTPS": "1",
        "SECRET_KEY": "k" * 20 + "a-long-key-of-many-different-letters-0123456789",
        "VAR_DIR": str(tmp_path),
        "ALLOWED_HOSTS": "tracker.example",
    }
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout
