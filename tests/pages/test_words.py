"""The fixed words of the page: every key that is asked for exists, every key that exists is asked for."""

import re
from pathlib import Path

import pytest

from booklet.resources import folder
from booklet.tables.language import page_words, printable

ROOM = Path(__file__).parents[2] / "booklet" / "pages"
PYTHON = "\n".join(path.read_text("utf-8") for path in (*sorted(ROOM.glob("*.py")), ROOM.parent / "translation.py"))
LAYOUTS = "\n".join(path.read_text("utf-8") for path in sorted(folder("layouts").rglob("*.html")))
# Looked up by what a pattern holds: a level, a stitch, a code … (the part before the dot).
BY_VALUE = (
    "level level_note weight choice explain terms terms_name stretch chart_form loop legend size colophon severity pair abbr caution told"
).split()


def asked() -> set[str]:
    keys = set(re.findall(r"words\.([a-z_]+)\b", LAYOUTS))
    keys |= set(re.findall(r"(?:text|plural|optional)\(\s*\"([a-z_.]+)\"", PYTHON))
    keys |= set(re.findall(r"(?:page|words)\[[\"']([a-z_]+)[\"']\]", PYTHON))
    return {key for key in keys if not key.endswith(".")}


@pytest.mark.parametrize("tag", printable())
def test_every_word_that_is_asked_for_is_there(tag):
    words = page_words(tag)
    missing = {key for key in asked() if key not in words and f"{key}.other" not in words}
    assert not missing


def test_no_word_is_left_over():
    used = asked()
    left = {key for key in page_words("en-US") if key.removesuffix(".one").removesuffix(".other") not in used}
    assert {key for key in left if key.split(".")[0] not in BY_VALUE} == set()


@pytest.mark.parametrize("tag", printable())
def test_singular_comes_with_plural(tag):
    words = page_words(tag)
    ones = {key.removesuffix(".one") for key in words if key.endswith(".one")}
    assert ones == {key.removesuffix(".other") for key in words if key.endswith(".other")}


def test_no_words_in_layouts_or_styles():
    """What stands in a layout is markup: a word between two tags would be printed in every language."""
    for path in folder("layouts").rglob("*.html"):
        text = re.sub(r"&#\d+;|\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<style>.*?</style>", "", path.read_text("utf-8"), flags=re.DOTALL)
        assert not re.findall(r">[^<>]*[A-Za-z]{2,}[^<>]*<", text), path.name
    for path in folder("layouts").rglob("*.css"):
        text = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.DOTALL)
        declared = re.findall(r"content:([^;}]*)", text)
        assert not [words for one in declared for words in re.findall(r'"([^"]*[A-Za-z][^"]*)"', one)], path.name
