"""`--choose key=value`, sizes and names as typed in, checked values out; what is chosen is built elsewhere."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.cli.close import nearest
from booklet.cli.files import Refused

Choice = tuple[str, str]


def choices(typed: Iterable[str], offered: tuple[tuple[str, tuple[str, ...]], ...]) -> tuple[Choice, ...]:
    """The choices, each one of those that the pattern offers; refused otherwise."""
    known = dict(offered)
    found: dict[str, str] = {}
    for text in typed:
        key, equals, value = (word.strip() for word in text.partition("="))
        if not equals or not key or not value:
            raise Refused(f"--choose takes KEY=VALUE, such as eyes=embroidered, not {text!r}.")
        if key not in known:
            hint = nearest(key, known) if known else " It offers none."
            raise Refused(f"The pattern offers no choice of {key!r}.{hint}")
        if value not in known[key]:
            raise Refused(f"{key!r} cannot be {value!r}.{nearest(value, known[key])}")
        if found.setdefault(key, value) != value:
            raise Refused(f"--choose {key} is given twice.")
    return tuple(found.items())


def one_of(what: str, typed: str, known: Iterable[str]) -> str:
    """A name that must be one of the known ones, in any case; refused with the nearest one otherwise."""
    names = list(known)
    for name in names:
        if name.casefold() == typed.casefold():
            return name
    raise Refused(f"There is no {what} {typed!r}.{nearest(typed, names)}")


def printed(tag: str) -> str:
    """A pattern's own language, where booklets can be set in it; refused with what it lacks otherwise."""
    from booklet.tables.language import lacking, load, printable

    missing = lacking(tag)
    if missing:
        raise Refused(
            f"Patterns in {load(tag).name} ({tag}) are read, but nothing can be printed in it: shared/languages/{tag} has no "
            f"{' and no '.join(missing)}. Name another language of the booklet: --language takes {', '.join(printable())}."
        )
    return tag
