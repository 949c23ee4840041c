"""Random lines through reading, counting, writing and building: no crash, no hang over 0.1 s a line, no growth of memory.

Run: python -m tests.fuzz.fuzz_reader [SECONDS] [SEED]. With atheris installed, python -m tests.fuzz.fuzz_reader --guided is guided by
coverage; without it, lines of the cases are mutated: tokens doubled, dropped, moved, taken from other languages, marks nested.
"""

from __future__ import annotations

import random
import resource
import sys
import time
import traceback

from booklet.diagnostics.span import START, Span
from booklet.graph.build import build
from booklet.graph.settle import settle
from booklet.notation.read import read_line, words_of
from booklet.notation.write import write
from booklet.pattern.model import Pattern, Section, Step
from booklet.source.tree import Piece
from booklet.tables.language import Language, load, tags
from tests.notation.cases import FOLDER, cases

SLOW = 0.1  # seconds for one line
MARKS = list("()[]{}*.,;:=-–+&/x×|•“”'\"#<>…·°~\\") + [
    "->",
    "**",
    "((",
    "))",
    "(*",
    "*)",
    "\u00a0",
    "\u00ad",
    "\u0301",
    "６",
    "İ",
    "ı",
    "х",
    "\n",
    "\x00",
    "🧶",
]
NUMBERS = ["0", "1", "2", "7", "99", "1000000", "99999999999999", "٣", "²", "1.5"]


def pool() -> list[str]:
    """All lines of all files of cases."""
    return [line for path in FOLDER.glob("*.txt") for case in cases(path.stem) for line in case.lines]


def mutated(lines: list[str], chance: random.Random) -> str:
    """A line that nobody wrote."""
    words = chance.choice(lines).split(" ")
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(words) + 1)
        kind = chance.randrange(8)
        if kind == 0:
            words.insert(at, chance.choice(MARKS))
        elif kind == 1:
            words.insert(at, chance.choice(NUMBERS))
        elif kind == 2:
            words[at:at] = chance.choice(lines).split(" ")[: chance.randint(1, 5)]
        elif kind == 3 and len(words) > 1:
            del words[min(at, len(words) - 1)]
        elif kind == 4:
            words += words[at : at + 3]
        elif kind == 5 and words:
            i = min(at, len(words) - 1)
            words[i] = words[i] + chance.choice(MARKS) + words[i]
        elif kind == 6 and words:
            i = min(at, len(words) - 1)
            words[i] = "".join(chance.sample(words[i], len(words[i])))
        else:
            words = [chance.choice("([*") * chance.randint(1, 30), *words]
    text = chance.choice([" ", " ", " ", "", ", "]).join(words)
    return text * chance.choice([1, 1, 1, 1, 40]) if chance.random() < 0.05 else text


def pattern(texts: list[str], tag: str) -> Pattern:
    """A part of these lines behind a round of 21 stitches and a made part."""
    steps = tuple(
        Step("line", Span(i, 1, i, len(text) + 1), (Piece(text, i, 1),), i) for i, text in enumerate(texts, 1)
    )
    leg = Section("part", "Leg", START, (Step("line", START, (Piece("Rnd 1: 14 sc in MR", 1, 1),), 0),), 2)
    return Pattern("fuzz.md", "", tag, "", {}, (), (), None, None, (leg, Section("part", "Body", START, steps)))


def once(texts: list[str], language: Language) -> float:
    """Read, settle, build and write; the longest time of a line in seconds."""
    whole = pattern(texts, language.tag)
    words = words_of(whole, language)
    slowest = 0.0
    found = {}
    for p, part in enumerate(whole.parts):
        for s, step in enumerate(part.steps):
            begin = time.process_time()
            found[p, s] = read_line(step.pieces, words)
            slowest = max(slowest, time.process_time() - begin)
    begin = time.process_time()
    settled = settle(whole, found)
    slowest = max(slowest, (time.process_time() - begin) / len(settled))
    build(whole, settled)
    for line in settled:
        if line.instruction is not None:
            write(line.instruction, language)
    return slowest


def main(seconds: float, seed: int) -> int:
    """Run for so many seconds; the number of failures is the exit status."""
    chance = random.Random(seed)
    lines, languages = pool(), [load(tag) for tag in tags()]
    end, failures, done, slowest = time.monotonic() + seconds, 0, 0, 0.0
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    while time.monotonic() < end:
        texts = ["Rnd 1: 21 sc in MR (21)", *(mutated(lines, chance) for _ in range(4))]
        language = languages[0] if chance.random() < 0.1 else chance.choice(languages)
        try:
            taken = once(texts, language)
        except Exception:
            failures += 1
            traceback.print_exc(limit=-4)
            print("FAILED", language.tag, texts)
            if failures > 5:
                break
            continue
        done += len(texts)
        slowest = max(slowest, taken)
        if taken > SLOW:
            failures += 1
            print(f"SLOW {taken:.2f} s", language.tag, [text[:300] for text in texts])
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - memory
    print(f"{done} lines, {failures} failures, slowest {slowest * 1000:.0f} ms, memory grew by {grown / 1024:.0f} MB")
    return failures


def guided() -> None:
    """The same under a coverage-guided fuzzer."""
    import atheris

    language = load("en-US")

    def one(data: bytes) -> None:
        once(["Rnd 1: 21 sc in MR (21)", data.decode("utf-8", "replace")], language)

    atheris.Setup(sys.argv[:1], one)
    atheris.Fuzz()


if __name__ == "__main__":
    if "--guided" in sys.argv:
        guided()
    else:
        sys.exit(
            min(1, main(float(sys.argv[1]) if len(sys.argv) > 1 else 60, int(sys.argv[2]) if len(sys.argv) > 2 else 1))
        )
