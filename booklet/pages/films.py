"""Comes in: the address of a film and a time. Goes out: a link with its words; its code is drawn in outputs, and nothing is fetched."""

from __future__ import annotations

from dataclasses import replace

from booklet.addresses import usable
from booklet.pages.book import Film
from booklet.pages.sentences import spoken
from booklet.pages.wording import Words
from booklet.pattern.model import Pattern, Step

SENTENCE = "video"  # the id of the standard sentence, in every language
SHOWN = 44  # signs of an address that is to be read: what fits beside a code on the smallest page


def whole(pattern: Pattern, words: Words) -> Film | None:
    """The film of the whole pattern; None without a usable address."""
    address = usable(pattern.field("video"))
    return Film(words.text("colophon.video"), at(address, ""), shown(address)) if address else None


def of_step(step: Step, film: str, words: Words) -> Film | None:
    """What a sentence such as `Video at 3:20.` leads to; `film` is the pattern's own address. None where that is nowhere."""
    if step.kind != "sentence" or step.name != SENTENCE:
        return None
    own, time = usable(str(step.value("address", ""))), str(step.value("time", ""))
    address = own or ("" if step.value("address", "") else usable(film))
    if not address:
        return None
    told = spoken(replace(step, values=(("time", time),)), words) if time else None
    label = (told or words.text("colophon.video")).removesuffix(words.page["stop"])
    return Film(label, at(address, time), shown(address), own=bool(own))


def at(address: str, time: str) -> str:
    """The address of a place in a film: W3C Media Fragments URI 1.0, 4.2.1, or as the host wants it where the address says {seconds}."""
    seconds = 0
    for part in time.split(":") if time else ():
        seconds = 60 * seconds + int(part)
    if "{seconds}" in address:
        return _ascii(address.replace("{seconds}", str(seconds)))
    base, _, fragment = address.partition("#")
    parts = [fragment] if fragment else []
    parts += [f"t={seconds}"] if seconds else []
    return _ascii(base + ("#" + "&".join(parts) if parts else ""))


def _ascii(address: str) -> str:
    """Signs beyond ASCII as a link holds them (RFC 3986, 2.5), so that every reader of codes takes them."""
    from urllib.parse import quote

    return quote(address, safe="%/:?#[]@!$&'()*+,;=~")


def shown(address: str) -> str:
    """An address as it is read and typed: without what a browser adds by itself."""
    text = address.partition("#")[0] if "{seconds}" not in address else address.partition("{seconds}")[0].rpartition("?")[0] or address
    text = text[len("https://") :].removeprefix("www.").rstrip("/")
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
