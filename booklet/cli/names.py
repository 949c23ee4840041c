"""A pattern's name and its edition in, the name of the output file out; nothing is written here."""

from __future__ import annotations

import re

from booklet.editions.edition import Edition


def output_name(stem: str, edition: Edition, form: str, *, terms: str = "", units: str = "metric") -> str:
    """`<stem>.<language>.<layout>`, then each setting that is not the default, in the order of the options, then the format.

    `terms` and `units` are the defaults of the edition's main language.
    """
    settings = [
        "rounds-in-all" if edition.rounds_in == "all" else "",
        edition.terms if edition.terms != terms else "",
        edition.units if edition.units != units else "",
        edition.market,
        edition.printing if edition.printing != "home" else "",
        edition.size,
        *(f"{key}={value}" for key, value in edition.choices),
        edition.reader if edition.reader != "some" else "",
        edition.symbols if edition.symbols != "us" else "",
        "left-handed" if edition.left_handed else "",
        f"test-copy={edition.tester}" if edition.tester else "",
        "proof" if edition.proof else "",
        "message-numbers" if edition.message_numbers else "",
    ]
    paper = [] if form == "txt" else [edition.layout]  # plain text has no layout
    words = [stem, "+".join(edition.languages), *paper, *(_plain(word) for word in settings if word), form]
    return ".".join(words)


def _plain(word: str) -> str:
    """Letters, digits and a few signs that no file system minds."""
    return re.sub(r"[^\w=+-]+", "-", word).strip("-")
