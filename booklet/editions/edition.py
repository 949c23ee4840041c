"""The noun of this room: one edition of a pattern, plain settings; nothing is looked up."""

from __future__ import annotations

from dataclasses import dataclass

PRINTINGS = ("home", "screen", "press", "archive")  # what a PDF is made for, the usual one first

ROUNDS_IN = ("first", "all")


@dataclass(frozen=True, slots=True)
class Edition:
    """Which booklet of a pattern is to be made."""

    languages: tuple[str, ...]  # BCP 47, the main one first
    terms: str  # "US", "UK" or ""
    units: str = "metric"  # metric, imperial, both
    market: str = ""  # US, EU, UK, CA, AU, NZ; "" assesses all declared ones
    reader: str = "some"  # first-timer, some, none
    choices: tuple[tuple[str, str], ...] = ()  # chosen; alternatives of the others are printed
    size: str = ""
    left_handed: bool = False
    symbols: str = "us"  # symbol set
    layout: str = "a5"
    proof: bool = False  # mark the pages as a proof and list the findings
    printing: str = PRINTINGS[0]
    message_numbers: bool = False  # print the number of each message of the catalogue beside its words
    tester: str = ""  # a test copy for this person; "" is none
    rounds_in: str = ROUNDS_IN[0]  # of several languages on a card, those that have the instructions: the first or all
