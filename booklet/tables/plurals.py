"""Plural rules of a language's settings and a number in, the category of the number out; which words belong to it is said elsewhere."""

from __future__ import annotations

from functools import cache


def category(rules: str, number: int) -> str:
    """The plural category of a whole number, by rules in the notation of CLDR: `one: n = 1; few: n % 10 = 2..4; many`.

    The first rule that fits wins; one without a condition always fits. Source of the notation and of the rules: Unicode
    Technical Standard 35, part 3, and the plural rules of the Unicode CLDR.
    """
    for rule in rules.split(";"):
        name, _, condition = rule.partition(":")
        if all(_holds(relation, number) for relation in condition.split(" and ") if relation.strip()):
            return name.strip()
    raise ValueError(f"no plural rule of {rules!r} fits {number}")


@cache
def categories(rules: str) -> tuple[str, ...]:
    """The names of all categories, in the order of the rules."""
    return tuple(rule.partition(":")[0].strip() for rule in rules.split(";"))


def _holds(relation: str, number: int) -> bool:
    """`n % 100 != 12..14`."""
    left, sign, right = relation.partition("!=" if "!=" in relation else "=")
    _, _, divisor = left.partition("%")
    value = number % int(divisor) if divisor else number
    spans = (span.partition("..") for span in right.split(","))
    return any(int(low) <= value <= int(high or low) for low, _, high in spans) == (sign == "=")
