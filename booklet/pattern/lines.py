"""One line of a body in, whether it is an instruction out; what it tells the hands is notation's."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from unicodedata import category

from booklet.digits import circles_as_labels
from booklet.pattern.templates import TOKEN, book, fold
from booklet.stress import without_stress
from booklet.tables.language import Language, load
from booklet.wide import FULL_WIDTH, WIDE, size_at

_OPENINGS = "([{*|“\"'"
_SEPARATORS = ":.)-–—|="
_BULLETS = "-–—•·‣▪●→»"
_TOTAL = re.compile(r"(?:[(\[{]\s*=?\s*\d{1,6}[^()\[\]{}]{0,60}[)\]}]|[=→➔➜➝➞➡⇒⟶]\s*\d{1,6}[^\d]{0,20})[\s.]*$")
_NUMBERED = re.compile(  # `3.`, `4-6)`, `4.-6.`, `4) a 6)`, `1- 8 sc`; a word between the numbers has to mean a range
    r"\s*\d{1,4}(?:[.)]?\s*(?:[-–~〜～/]|(?P<range>[^\W\d_]{1,6}))\s*\d{1,4})?(?:\s*[:.)|=]{1,2}\s*|\s*[-–—]\s+)(?=\S)"
)
_NAMED = re.compile(r"\s*[^\W\d_]{4,15}(?: [^\W\d_]{2,15}){0,2}:\s+(?=\S)")  # `Border: sc around`
_COLOUR_FIRST = re.compile(r"\s*[(\[][^\W\d_][^()\[\]\d]{0,30}[)\]]\s*(?=\w)")  # `(black) 5-6: 24 sc`
_ENDING = re.compile(r"\s*\d{1,4}(?:-[^\W\d_]{1,3}\b|\.[ªºа-я])")
_RANGES = "-–—/&,~"
_SOFT = frozenset(("the", "for", "next", "in", "with", "color", "turn", "join", "change", "loop", "and", "ring", "from"))
_BEHIND_STITCH = frozenset(("in", "each", "next", "around", "times", "once", "loop"))
_BEHIND_LETTER = frozenset(",;.+-–)]}([{=*/|")
_PAUSES = (",", ":", ".", "-", "–", ";")
_LEADING = frozenset(("each", "even", "in", "next", "last", "same", "the", "on", "ordinal", "from"))
_PLAIN = frozenset(("even", "around", "each", "stitch"))
_NARROW = str.maketrans(FULL_WIDTH | dict(zip("「」【】〜", "()()~", strict=True)))
_LONGEST_ABBREVIATION = 6  # words, strokes and full stops of one
_NO_WORK = frozenset(("", "color", "change", "with", "the", "in", "and"))
_SHORT = 4  # words
_LONGEST_PHRASE = 5  # words of a phrase of the notation
_HEADER = 60  # characters in which a header shows
LOOK = 4_000  # characters of a line that are looked at, see line_characters in shared/limits.toml


def is_header(text: str, language: Language) -> bool:
    """Does the line begin with a round or row header: `Rnd 3`, `Rnds 4-9`, `R3`, `3rd rnd`, `3. row`, `Next rnd:`?"""
    text = without_stress(text)
    words = _words(text[_behind_colour(text, language) :][:_HEADER], language)
    at = 0
    while at < len(words) and _is_bullet(words[at]):
        at += 1
    words = words[at:]
    if not words:
        return False
    if words[0].isdecimal():
        return _number_first(words, text, language)
    articles = next((at for at, word in enumerate(words[:3]) if _role(word, language) != "the"), 0)
    if articles and _role(words[articles], language) == "header":
        words = words[articles:]  # "de la vuelta 5 a la 8"
    role, size = _phrase(words, 0, language, ("header", "next_header"))
    rest = words[size:]
    if role == "header":
        while rest and (rest[0] in (".", "-", "#") or _role(rest[0], language) in ("hash", "from")):
            rest = rest[1:]
        return rest != [] and (rest[0].isdecimal() or _role(rest[0], language) == "number")
    if _role(words[0], language) == "ordinal" and len(words) > 2 and _role(words[1], language) == "header":
        return words[2] in _SEPARATORS or _begins(words[2:], language)
    if role == "next_header":
        return rest[:1] != [] and (rest[0] in _SEPARATORS or _begins(rest[rest[0] == "," :], language))
    return _is_start(words, text, language)


def _behind_colour(text: str, language: Language) -> int:
    """`(black) 5-6: 24 sc`: where the line goes on behind a bracket of words that are no work; else 0."""
    found = _COLOUR_FIRST.match(text)
    if found is None:
        return 0
    roles = {_role(word, language) for word in _words(found[0], language) if word[0].isalpha()}
    return found.end() if roles <= _NO_WORK else 0


def _is_start(words: list[str], text: str, language: Language) -> bool:
    """`Foundation chain: ch 7`, `Magic ring: 6 sc`."""
    before, colon, after = text[:80].partition(":")
    if not colon or not after.strip():
        return False
    starts = book(language).small_words("start.chain") | book(language).small_words("start.ring")
    return fold(before.strip()) in starts and _begins(_words(after, language), language)


def _number_first(words: list[str], text: str, language: Language) -> bool:
    words = _without_endings(words, text)
    at = 1
    glued = re.match(r"\s*(?:\d+\s*[-–]\s*)?\d+[^\W\d_]", text) is not None
    while at + 1 < len(words):
        ending = (glued and words[at].isalpha() and len(words[at]) <= 3) or (words[at] in ".)°º" and at + 2 < len(words))
        mark = at + 1 if ending else at  # "7th-12th rnd", "5.-8. Rd"
        link = mark < len(words) and (words[mark] in _RANGES or _role(words[mark], language) in ("range", "and"))
        if not link or mark + 1 >= len(words) or not words[mark + 1].isdecimal():
            break
        at = mark + 2
    ending = at < len(words) and (glued or words[at] in "°º") and (words[at].isalpha() or words[at] == "°")
    labels = at + 1 < len(words) and _role(words[at], language) == "header" != _role(words[at + 1], language)
    ordinal = ending and len(words[at]) <= 3 and not labels  # "3rd rnd", but "3段目"
    after = at + 1 if ordinal else at
    if after < len(words) and words[after] in ".:":
        after += 1
    if after < len(words) and _role(words[after], language) == "header":
        rest = words[after + 1 :]
        return rest != [] and (ordinal or rest[0] in _SEPARATORS or _begins(rest, language))
    return False


def _without_endings(words: list[str], text: str) -> list[str]:
    """`1-й ряд`, `5-й - 8-й ряды`, `3.ª volta`: endings of ordinals behind a hyphen or a full stop tell nothing."""
    if not _ENDING.match(text):
        return words
    found: list[str] = []
    for at, word in enumerate(words):
        if word.isalpha() and len(word) <= 3 and len(found) > 1 and found[-1] in "-." and found[-2].isdecimal() and at < 8:
            found.pop()
        else:
            found.append(word)
    return found


def is_instruction(text: str, marker: str, language: Language) -> bool:
    """Inside a part: does a line without a header read as an instruction?

    Behind a bare number it is enough that it begins like one: with a quantity, stitch, bracket, loop or repeat word.
    """
    text = without_stress(circles_as_labels(text[:LOOK]))
    numbered = marker[:1].isdigit()
    if numbered and (pair := _NUMBERED.match(f"{marker} {text}")) and pair["range"]:
        text = f"{marker} {text}"[pair.end() :]  # "4) a 7) 18 pb" as an item of a list
    if not marker:
        coloured = _behind_colour(text, language)
        bare = _NUMBERED.match(text, coloured)
        if bare and (not bare["range"] or _role(fold(bare["range"]), language) == "range"):
            numbered, text = True, text[bare.end() :]
        else:
            text = text[coloured:]
    words = _words(text, language)
    while words and _is_bullet(words[0]):
        words = words[1:]
        marker = marker or "-"
    if not marker and (named := _NAMED.match(text)):
        rest = text[named.end() :]
        roles = {_role(word, language) for word in words}
        if "measure" not in roles and "note" not in roles and is_instruction(rest, "", language):
            return True
    if numbered and len(words) > 1 and _role(words[0], language) == "header":
        words = words[2:] if words[1] in _SEPARATORS else words[1:]  # "3. rnd: …" where the number is a list's
    total = _TOTAL.search(text) is not None
    begins = bool(words) and (_begins(words, language) or (total and _is_letter(words, 0, language)))
    if words and _repeats_rounds(words, language):
        return True
    if (numbered or total) and _is_all_known(words, language):
        return True
    if numbered and total and _is_coded(words, language):
        return True
    if not words or not (begins or _begins_softly(words, language)):
        return _tells_rounds(words, total, language) or _tells_work(words, total, numbered, language)
    if numbered and begins:
        return True
    known, stitches = _known_share(words, language)
    if total:
        return known >= (0.5 if begins else 0.75) and stitches > 0
    counted = any(word.isdecimal() for word in words) or stitches > 1
    if len(words) < _SHORT and counted and _phrase(words, 0, language)[0] == "ring":
        return True  # "MR 6"
    return stitches > 0 and counted and known >= (0.75 if marker else 0.9)


def _is_all_known(words: list[str], language: Language) -> bool:
    """`Each st inc (12)`, `without increases, work 18 sc`: a place or a small word first, a stitch, and hardly an unknown word."""
    if not words or _phrase(words, 0, language)[0] not in _LEADING:
        return False
    known, _ = _known_share(words, language)
    named = _phrase(words, 0, language)[0] == "even" or any(_is_named(words, at, language) for at in range(len(words)))
    return named and known >= 0.95


def _is_named(words: list[str], at: int, language: Language) -> bool:
    """Is it the name of a stitch, not a word for any?"""
    role, size = _phrase(words, at, language)
    return role == "stitch" and bool(language.words.get(" ".join(words[at : at + size]), ("", ""))[1])


def _is_coded(words: list[str], language: Language) -> bool:
    """`2: 6V (12)`: nothing but letters for stitches, and numbers."""
    letters = [word for word in words if word[0].isalpha()]
    return bool(letters) and all(word in language.letters for word in letters)


def _repeats_rounds(words: list[str], language: Language) -> bool:
    """`Repeat last round 3 times`, `Repeat Rnd 7 three more times`."""
    role, size = _phrase(words, 0, language)
    if role != "repeat":
        return False
    while size < len(words) and _role(words[size], language) == "the":
        size += 1
    after = _phrase(words, size, language)[0] if size < len(words) else ""
    if after not in ("header", "next_header") and not (after == "last" and any(_role(word, language) == "header" for word in words)):
        return False
    roles = {_role(word, language) for word in words}
    return _known_share(words, language)[0] >= (0.6 if {"until", "measure"} <= roles else 0.95)


def _begins_softly(words: list[str], language: Language) -> bool:
    """`Work 6 sc …`, `In BLO, sc …`, `Turn, ch 1, …`: small words before the first stitch."""
    at = 0
    while at < len(words):
        role, size = _phrase(words, at, language)
        if role not in _SOFT and words[at] not in _PAUSES:
            break
        at += size
    if not 0 < at < len(words) or not _begins(words[at:], language):
        return False
    if _role(words[at], language) != "stitch":
        return True
    after = words[at + 1] if at + 1 < len(words) else ""  # "The chain at the start …" tells about stitches
    return after.isdecimal() or _role(after, language) in _BEHIND_STITCH


def _tells_rounds(words: list[str], total: bool, language: Language) -> bool:
    """`Work even for 5 rounds`, `5 rounds without increasing (36)`, `Next 5 rounds: sc around`."""
    if not words or _phrase(words, 0, language)[0] == "note":
        return False
    counted = [word for word in words if _role(word, language) != "more"]  # "3 more rounds"
    told = any(word.isdecimal() and _role(after, language) == "header" for word, after in pairwise(counted))
    roles = {_phrase(words, at, language)[0] for at in range(len(words))}
    known, _ = _known_share(words, language)
    return told and known >= 0.9 and (total or not roles.isdisjoint(_PLAIN))


def _tells_work(words: list[str], total: bool, numbered: bool, language: Language) -> bool:
    """`Fold in half and sc 7 through both sides (7)`: a remark first, then stitches with their number, and their total or place."""
    places = {_phrase(words, at, language)[0] for at in range(len(words))} & {"ring", "through_both"}
    if not places and not total:
        return False
    known, _ = _known_share(words, language)
    counted = any(
        (one.isdecimal() and _is_stitch(other, language)) or (other.isdecimal() and _is_stitch(one, language))
        for one, other in pairwise(words)
    )
    stitches = any(_is_stitch(word, language) for word in words)
    alone = (stitches and (numbered or "through_both" in places)) or (numbered and "ring" in places)
    return (counted or alone) and known >= (0.5 if places else 0.75)


def _is_stitch(word: str, language: Language) -> bool:
    role, value = language.words.get(word, ("", ""))
    return role == "stitch" and bool(value)


def goes_on(text: str) -> bool:
    """Does the line end in the middle of something, so that the next line belongs to it?"""
    text = text[:LOOK].rstrip()
    return text.endswith((",", ";")) or sum(text.count(sign) for sign in "([{") > sum(
        text.count(sign) for sign in ")]}"
    )


def _is_bullet(word: str) -> bool:
    """A mark of a list, or a picture sign that somebody put in its place."""
    return word in _BULLETS or category(word[0]) in ("So", "Mn", "Cf")


def _words(text: str, language: Language) -> list[str]:
    if text.isascii() or max(text) < WIDE:
        return [fold(word) for word in TOKEN.findall(text)]
    found: list[str] = []
    for token in TOKEN.findall(text.translate(_NARROW)):
        word = fold(token)
        found += [word] if word[0] < WIDE or word in language.words else _cut_wide(word, language)
    return found


def _cut_wide(word: str, language: Language) -> list[str]:
    """A word of a script without spaces, cut at the longest words that the language knows."""
    found: list[str] = []
    at = 0
    while at < len(word):
        size = size_at(word, at, language.words)
        found.append(word[at : at + size])
        at += size
    return found


def _role(word: str, language: Language) -> str:
    return language.words.get(word, ("", ""))[0]


def _phrase(words: list[str], at: int, language: Language, roles: tuple[str, ...] = ()) -> tuple[str, int]:
    """The role of the longest known phrase at a word, and how many words it takes; ("", 1) if none is known."""
    for size in range(min(_LONGEST_PHRASE, len(words) - at), 0, -1):
        role = _role(" ".join(words[at : at + size]), language)
        if role and (not roles or role in roles):
            return role, size
    for size in range(min(_LONGEST_ABBREVIATION, len(words) - at), 2, -1) if words[at].isalpha() else ():
        role = _squeezed(language.tag, language.terms).get("".join(words[at : at + size]).replace(".", ""), "")
        if role and (not roles or role in roles):
            return role, size
    return "", 1


@cache
def _squeezed(tag: str, terms: str) -> dict[str, str]:
    """Abbreviations with strokes and hyphens inside, `ст. б/н`, without their spaces and full stops: their roles."""
    words = load(tag, terms).words
    return {"".join(word.split()): role for word, (role, _) in words.items() if "/" in word or ("-" in word and len(word) < 8)}


def _begins(words: list[str], language: Language) -> bool:
    at = 0
    opened = False
    while at < len(words) and words[at] in _OPENINGS:
        opened = True
        at += 1
    if at >= len(words):
        return False
    role, size = _phrase(words, at, language)
    if words[at].isdecimal() or role == "number":
        after = at + (1 if words[at].isdecimal() else size)
        if after < len(words) and (_is_letter(words, after, language) or _is_times(words, after, language)):
            return True
        if after < len(words) and (words[after] in ("x", "×", "*") or _role(words[after], language) == "times"):
            after += 1
        if after >= len(words):
            return False
        known = _phrase(words, after, language)[0] in ("stitch", "unit", "loop")
        if opened and words[after] == ",":  # "(1, inc) x 6": a number without its stitch
            after += 1
            return after < len(words) and _phrase(words, after, language)[0] == "stitch"
        return words[after] in "([{" or known
    if role in ("stitch", "loop", "repeat", "ring", "from_star") or (opened and _is_letter(words, at, language)):
        return True
    return opened and role in ("in", "color", "change")


def _is_times(words: list[str], at: int, language: Language) -> bool:
    """`7xInc`: a times sign glued to the stitch."""
    word = words[at]
    return word[0] == "x" and language.words.get(word[1:], ("",))[0] == "stitch"


def _is_letter(words: list[str], at: int, language: Language) -> bool:
    """A letter that stands for a stitch, `(6x, v)*6`: one that ends an item."""
    after = words[at + 1] if at + 1 < len(words) else ","
    return words[at] in language.letters and (after in _BEHIND_LETTER or _role(after, language) in ("in", "and"))


def _known_share(words: list[str], language: Language) -> tuple[float, int]:
    """Which share of the words the notation knows, and how many of them are stitches."""
    at = known = total = stitches = 0
    while at < len(words):
        if not words[at][0].isalpha():
            at += 1
            continue
        role, size = _phrase(words, at, language)
        letter = role != "stitch" and (_is_letter(words, at, language) or _is_times(words, at, language))
        total += size
        known += size if role or letter else 0
        stitches += role == "stitch" or letter
        at += size
    return (known / total if total else 0.0), stitches
