"""What the service worker holds: everything from the start, but for what few phones need at once."""

import json
import re

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db


def listed(name: str) -> list[str]:
    said = re.search(rf"^const {name} = \[(.*)\];$", Client().get("/sw.js").content.decode(), re.MULTILINE)[1]
    return json.loads(f"[{said.strip().rstrip(',')}]")


def test_codes_and_tongues_are_held_late_and_no_file_twice():
    files, late = listed("FILES"), listed("LATE")
    tongues = ("en", "es", "de")
    of_tongues = {f"/?tongue={one}" for one in tongues} | {
        f"/static/joined/late.{name}.{one}.html" for name in ("rooms", "cards") for one in tongues
    }
    assert set(late) == of_tongues | {"/static/vendor/jsQR.js", "/static/vendor/lean-qr.mjs"}
    assert len(late) == len(set(late))
    assert not set(files) & set(late)
    assert "/static/joined/handover.js" in files


def test_every_file_that_is_held_is_there():
    for path in listed("FILES") + listed("LATE"):
        assert Client().get(path).status_code == 200, path


def test_no_policy_takes_the_camera_away():
    assert "camera" not in Client().get("/").headers["Permissions-Policy"]
