"""A page names its scripts by what is in them."""

from __future__ import annotations

import hashlib
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage


def test_the_address_of_a_script_changes_with_the_script() -> None:
    path = finders.find("shop/scan.js")
    digest = hashlib.sha256(Path(str(path)).read_bytes()).hexdigest()
    assert staticfiles_storage.url("shop/scan.js") == f"/static/shop/scan.js?v={digest[:12]}"


def test_a_file_that_is_not_there_has_a_plain_address() -> None:
    assert staticfiles_storage.url("shop/none.js") == "/static/shop/none.js"
