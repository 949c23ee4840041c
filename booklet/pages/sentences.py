"""Comes in: a standard sentence with its slots. Goes out: the sentence in an edition's words; none is recognised here."""

from __future__ import annotations

import re
from collections.abc import Mapping

from booklet.pages import measures
from booklet.pages.wording import Words, quotes, typeset
from booklet.pattern.model import Step
from booklet.tables.language import Language, Template, fold, load, tags

SLOT = re.compile(r"\{(\.?\w+)\}")
GRAMMAR = re.compile(r"[\[\]()|]")  # such a wording is for reading; what is printed has no alternatives
TOOLS = ("hook_mm",)  # given as shops give them, in mm in every edition
READ_ONLY = ("apart_as",)  # how something was said, not what
DEEPEST = 4  # of wordings within wordings
NAMES = ("what", "onto", "on", "part", "thing", "under", "motif", "thread")  # slots that hold words of the pattern
LOOSE = ("words", "rest")  # slots that hold whole phrases of it: such a sentence is left to the translator

Values = Mapping[str, str | int | float]


def say(step: Step, words: Words) -> str:
    """Print a standard sentence. The designer's own words where the language has no wording that says all of it."""
    said = spoken(step, words)
    return step.text if said is None else said


def spoken(step: Step, words: Words) -> str | None:
    """The sentence in the edition's words; None where they cannot say all of it, or it is no standard sentence."""
    if step.kind != "sentence" or (words.source and any(name in LOOSE for name, _ in step.values)):
        return None
    values = _to_say(step, words)
    best: str | None = None
    most = -1
    for template in words.language.sentences:
        if template.id != step.name or GRAMMAR.search(template.text):
            continue
        text = _expanded(template.text, values, words)
        said = _said(template, text, values)
        if said > most:
            best, most = text, said
    if best is None:
        return None
    said_so = contracted(SLOT.sub(lambda found: _slot(found, values, words), best), words.language)
    for sign in quotes(words.language):
        said_so = said_so.replace(sign + sign, sign)  # the wording has quotes itself, and the name came with its own
    return _sentence(said_so, words)


def contracted(text: str, language: Language) -> str:
    """`Coser a el fruto` -> `Coser al fruto`: a wording meets a name with its article. In small letters only: `El` may begin a name."""
    for pair in language.settings.get("contractions", "").split("|"):
        two, _, one = (part.strip() for part in pair.partition(">"))
        if two and one:
            text = re.sub(rf"(?<!\w){re.escape(two)}(?= \w)", one, text)
    return text


def _to_say(step: Step, words: Words) -> Values:
    """The slots as they are printed: `what_words` says what, with its article and number.

    Those are words of the pattern's language. Another language takes them without article, and the number before them.
    """
    values = {name: value for name, value in step.values if name not in READ_ONLY}
    for name in [name for name in values if name.endswith("_words")]:
        typed = str(values.pop(name))
        values[name.removesuffix("_words")] = _bare(typed, words.source) if words.source else typed
        if name == "what_words" and not words.source:
            values.pop("count", None)
    if words.source and "what" in values and "count" in values:
        values["what"] = f"{values.pop('count')} × {values['what']}"
    values.setdefault("unit", "round")
    return values


def _bare(typed: str, source: str) -> str:
    """`the 2 Ears` without its article and number: `Ears`. A name that is only such words stays."""
    language = load(source if source in tags() else "en-US")
    small = {fold(form.text) for form in language.sentences if form.id in (".article", ".of")}
    names = typed.split()
    while len(names) > 1 and (
        fold(names[0]) in small or names[0].isdecimal() or language.words.get(fold(names[0]), ("", ""))[0] == "number"
    ):
        names.pop(0)
    return " ".join(names)


def _slot(found: re.Match[str], values: Values, words: Words) -> str:
    """A value. The name of a part or a notion stands in quotes where it is a word of another language."""
    text = _value(found[1], values, words)
    if not words.source or found[1] not in NAMES:
        return text
    opening, closing = quotes(words.language)
    number, times, name = text.rpartition(" × ")
    if found.string[: found.start()].rstrip().endswith(opening.strip()):
        return text  # the wording has quotes itself
    return f"{number}{times}{opening}{name}{closing}"


def _expanded(text: str, values: Values, words: Words, depth: int = 0) -> str:
    """`{.pair}` becomes the first wording of that id which says nothing false."""

    def wording(found: re.Match[str]) -> str:
        name = found[1]
        if not name.startswith("."):
            return found[0]
        for template in words.language.sentences:
            if template.id == name and all(str(values.get(key)) == value for key, value in template.fixed):
                return _expanded(template.text, values, words, depth + 1)
        return ""

    return SLOT.sub(wording, text) if depth < DEEPEST else text


def _said(template: Template, text: str, values: Values) -> int:
    """How many values the wording says; -1 if it lacks one, or says something else."""
    fixed = dict(template.fixed)
    if any(str(values.get(name)) != value for name, value in fixed.items()):
        return -1
    slots = {_name(slot, values) for slot in SLOT.findall(text)}
    if not slots <= values.keys() or not values.keys() <= slots | fixed.keys() | {"unit"}:
        return -1
    return len(slots) + len(fixed)


def _name(slot: str, values: Values) -> str:
    """`{thing}` and `{motif}` stand for what is worked on, too."""
    return "what" if slot in ("thing", "motif") and slot not in values else slot


def _value(slot: str, values: Values, words: Words) -> str:
    name = _name(slot, values)
    value = values[name]
    if isinstance(value, str):
        return value
    if name in TOOLS:
        return measures.tool(float(value), words.style)
    if name.endswith("_mm"):
        return measures.length(float(value), words.style)
    if isinstance(value, int):
        return measures.count(value, words.style)
    return measures.decimal(value, 2, words.style)


def _sentence(text: str, words: Words) -> str:
    """With its full stop; a number is not parted from its stitches."""
    stitches = "|".join(re.escape(form.text) for form in words.language.sentences if form.id == ".sts")
    text = re.sub(rf"(?<=\d) (?=(?:{stitches})\b)", "\u00a0", " ".join(text.split(" "))) if stitches else text
    stop = words.page["stop"]
    text = typeset(text)
    return text if text.endswith((stop, "!", "?")) else text + stop
