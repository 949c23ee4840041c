"""The library of techniques: every text can be read and agrees with the stitch table; wrong files are reported."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet.resources import folder
from booklet.tables import techniques as library
from booklet.tables.language import load, tags
from booklet.tables.reader import TableFault
from booklet.tables.stitches import stitches
from booklet.tables.techniques import drawing, technique, techniques, uses

ROOT = folder("shared") / "techniques"
WRITTEN = sorted((path.parent.name, path.stem) for path in ROOT.glob("*/*.md"))
SLOT = re.compile(r"\{(\w+?)(\+?)\}")


def texts(name: str, tag: str) -> list[str]:
    one = technique(name, tag)
    assert one is not None
    return [one.name, one.purpose, one.looks, *(step.text for step in one.steps), *(cell for mistake in one.mistakes for cell in mistake)]


@pytest.mark.parametrize("tag", sorted({tag for _, tag in WRITTEN} | set("en-US en-GB de fr es it nl da sv nb pt-BR pl ru ja".split())))
def test_every_language_has_every_technique(tag: str) -> None:
    assert [name for name in techniques() if technique(name, tag) is None] == []


@pytest.mark.parametrize(("name", "tag"), WRITTEN)
def test_a_text_names_stitches_by_their_ids(name: str, tag: str) -> None:
    assert name in techniques()
    assert tag in tags()
    names = load(tag).names
    for text in texts(name, tag):
        for slot, _ in SLOT.findall(text):
            assert re.fullmatch(r"\d+mm", slot) or slot.lower() in names, slot
        assert not re.search(r"\d\s?(cm|mm)\b", SLOT.sub("", text)), "a length is in braces, so that it can be printed in other units"


@pytest.mark.parametrize("name", list(techniques()))
def test_no_english_text_spells_a_stitch_out(name: str) -> None:
    # A name that is typed would be wrong in the other term system.
    for tag in ("en-US", "en-GB"):
        for text in texts(name, tag):
            bare = SLOT.sub("", text).lower()
            assert not re.search(r"\b(single|double|treble) crochet", bare), text


@pytest.mark.parametrize("name", [name for name, listed in techniques().items() if listed.stitch])
def test_loops_on_the_hook_are_the_published_ones(name: str) -> None:
    # shared/stitches.tsv: loops before the last yarn over, from the stitch handbook's cluster pages and the turning-chain lessons.
    one = technique(name, "en-US")
    assert one is not None
    stated = stitches()[techniques()[name].stitch].loops
    told = [step.loops for step in one.steps if step.loops]
    assert told[-1] == 1, "a finished stitch leaves one loop"
    last = [n for n in told if n > 1][-1] if any(n > 1 for n in told) else 1
    # The table tells the loops before the last yarn over; of the invisible decrease it tells the most.
    assert stated in (last, max(told))


@pytest.mark.parametrize(
    ("name", "loops"),
    [
        # Turning-chain lessons (wraps and pull-up): half double 3; double 3, then 2; treble 4, 3, 2.
        ("half-double-crochet", [2, 3, 1]),
        ("double-crochet", [2, 3, 2, 1]),
        ("treble-crochet", [3, 4, 3, 2, 1]),
        # A stitch handbook's cluster pages: two together 3 loops, a bobble of five 6, three pulls of a puff 7.
        ("decrease", [2, 3, 1]),
        ("bobble", [2, 6, 1]),
        ("puff", [3, 5, 7, 1]),
        # Lessons on the invisible decrease: both front loops on the hook make 3.
        ("invisible-decrease", [2, 3, 2, 1]),
    ],
)
def test_loops_step_by_step(name: str, loops: list[int]) -> None:
    one = technique(name, "en-US")
    assert one is not None
    assert [step.loops for step in one.steps if step.loops] == loops


def test_every_language_tells_the_same_loops() -> None:
    for name, tag in WRITTEN:
        one, english = technique(name, tag), technique(name, "en-US")
        assert one is not None and english is not None
        assert [step.loops for step in one.steps] == [step.loops for step in english.steps], (name, tag)


def test_everything_that_a_pattern_can_say_is_taught() -> None:
    known = uses()
    assert [stitch for stitch in stitches() if ("stitch", stitch) not in known] == []
    used = {name for names in known.values() for name in names}
    assert sorted(set(techniques()) - used) == []
    sentences = {template.id for template in load("en-US").sentences}
    for kind, key in known:
        if kind == "sentence":
            assert key.split()[0] in sentences, key


def test_a_technique_without_a_text_is_none() -> None:
    assert technique("magic-ring", "xx") is None
    assert drawing("no-such-technique") == ()


GOOD = "name: N\nfor: F\nstatus: draft\n\n## Steps\n\n1. Do it. [2]\n2. And this.\n\n## Looks\n\nWell.\n\n## Mistakes\n\n- a | b | c\n- d | e | f\n- g | h | i\n"


def test_a_text_is_read() -> None:
    one = library._read("x.md", "x", GOOD)
    assert one.draft
    assert [tuple(step) for step in one.steps] == [("Do it.", 2), ("And this.", 0)]
    assert one.mistakes[2].undone == "i"


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (GOOD.replace("for: F\n", ""), "for is missing"),
        (GOOD.replace("1. Do", "Do"), "a step is"),
        (GOOD.replace("- g | h | i\n", ""), "3 mistakes"),
        (GOOD.replace("- a | b | c", "- a | b"), "a mistake is"),
        (GOOD.replace("## Looks", "## Look"), "none of"),
        ("shape: round\n" + GOOD, "before the first heading"),
    ],
)
def test_a_wrong_text_is_reported(wrong: str, said: str) -> None:
    with pytest.raises(TableFault, match=said):
        library._read("x.md", "x", wrong)


def test_readme_lists_every_kind_of_use() -> None:
    text = (Path(ROOT) / "uses.tsv").read_text("utf-8")
    for kind in library.KINDS:
        assert re.search(rf"\b{kind}\b", text.split("kind\tkey")[0]), kind
