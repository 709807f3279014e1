"""The phone gets the rows that the server checks by: as a script made of them, served beside those that are written."""

import copy

import pytest
from django.test import Client

from shop.base import scripts
from shop.shell import bundle
from shop.shell.offline import shell_files
from timers.core.acts import act_schema, product_schema
from timers.core.acts.schema import number
from timers.web import schema_script

NAME = "core/acts/schema.js"


def test_the_same_rows_give_the_same_text():
    assert schema_script.text() == schema_script.text() == scripts.text(NAME)


def test_no_file_stands_where_a_script_is_made():
    assert [name for name in scripts.made() if (scripts.FOLDER / name).exists()] == []
    assert len(scripts.names()) == len(set(scripts.names()))


@pytest.mark.django_db
def test_it_is_served_as_the_plain_scripts_are():
    answer = Client().get(f"/static/js/{NAME}")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert b"".join(answer.streaming_content).decode() == scripts.text(NAME)


def test_phones_get_it_joined_with_others_and_keep_it_only_so():
    holding = [name for name, text in bundle.build().items() if "const $core_acts_schema = (() =>" in text]
    files, late, _ = shell_files()
    assert [f"/static/{name}" in files for name in holding] == [True]
    assert not any(one.endswith(NAME) for one in files + late)


def test_a_limit_that_is_changed_in_a_row_is_changed_on_the_phone(monkeypatch):
    row = number("coat", "The coat", 1, 98)
    laid = copy.deepcopy(act_schema.KINDS["film_laid"])
    laid["fields"] = [row if one["key"] == "coat" else one for one in laid["fields"]]
    monkeypatch.setitem(act_schema.KINDS, "film_laid", laid)
    before, after = scripts.text(NAME), schema_script.text()
    said = 'row({key:"coat",type:"number",what:later("The coat"),least:1,most:99})'
    assert after == before.replace(said, said.replace("99", "98")) != before


def test_a_row_that_is_used_often_stands_once():
    text = scripts.text(NAME)
    assert text.count("A line of the sheet is a temperature, a shorter and a longer time.") == 1
    assert text.count(product_schema.A_SHEET["words"]) == 2  # of a film, and of a correction, where it may be missing
