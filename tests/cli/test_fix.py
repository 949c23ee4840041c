"""`booklet check --diff` and `--fix`: what is certain is mended, nothing else of the file changes, and a doubt leaves it alone."""

import json
import os
import stat
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet import pipeline
from booklet.cli import main
from booklet.diagnostics.codes import codes, page
from booklet.graph.checks import missing_totals
from booklet.reports import mending

HEAD = "---\ntitle: Ball\nlanguage: en-US\n---\n\n"
MIXED = HEAD + (
    "Bär & Söhne’s ball, 1 st at a time.  \n\n"
    "## Ball\n\nWith care: *slowly*. Rnd two is the nicest.\n\n"
    "Rnd 1: 6 sc in MR (6)\n"
    "R2: inc x 6\n"
    "<!-- R3 was once [sc, inc] 6 times = 18 -->\n"
    "Rnd 3: [sc, inc] 6 times = 18\n"
    "Rnd 4: (2 sc, inc x 6 (24)\n"
    "Rnd 5: *3 sc, inc; rep from * 5 more times (30)\n"
    "Rnd 6: (4 sc, inc) x 6 (36)\n"
    "Rnds 7-9: sc around (36)\n\n"
    "Stuff firmly, but not too firmly.\n"
)
MENDED = (
    MIXED.replace("R2: inc x 6\n", "Rnd 2: inc x 6 (12)\n")
    .replace("Rnd 3: [sc, inc] 6 times = 18", "Rnd 3: (sc, inc) x 6 (18)")
    .replace("(2 sc, inc x 6", "(2 sc, inc) x 6")
    .replace("*3 sc, inc; rep from * 5 more times", "(3 sc, inc) x 6")
)
WRONG = HEAD + "## Ball\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (13)\nRnd 3: (sc, inc) x 6 (18)\n"
CLEAN = WRONG.replace("13", "12")


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *arguments, **more: CliRunner().invoke(main, ["check", *arguments], **more)


def put(text, name="ball.md", line_end="\n", mark=b""):
    data = mark + text.replace("\n", line_end).encode()
    Path(name).write_bytes(data)
    return data


def fixed(text):
    """The text after a plain --fix, and the pattern that it was."""
    understood = pipeline.understand(text.encode(), "x.md")
    mended = pipeline.mend(understood)
    return (mended.data.decode() if mended.done else text), understood


# --- what is certain -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("last", ["\n", ""])
def test_only_the_words_of_the_mends_change(run, line_end, mark, last):
    cut = None if last else -1
    put(MIXED[:cut], line_end=line_end, mark=mark)
    shown = run("ball.md", "--fix")
    assert shown.exit_code == 0, shown.output
    assert shown.stdout == ""
    assert Path("ball.md").read_bytes() == mark + MENDED[:cut].replace("\n", line_end).encode()
    assert [path.name for path in Path().iterdir()] == ["ball.md"]


def test_what_was_mended_is_told(run):
    put(MIXED)
    assert "6 places mended in ball.md:" in run("--fix", "ball.md").stderr
    shown = run("--fix", "ball.md")
    assert "nothing to mend in ball.md" in shown.stderr
    assert Path("ball.md").read_text("utf-8") == MENDED


def test_mixed_line_ends_stay_mixed(run):
    text = MIXED.replace("\n", "\r\n", 7)
    put(text)
    run("--fix", "ball.md")
    assert Path("ball.md").read_bytes() == MENDED.replace("\n", "\r\n", 7).encode()


SLIPS = {
    "a colon": ("title: Bruno: a bear", 'title: "Bruno: a bear"'),
    "a number sign": ("title: Studio #1", 'title: "Studio #1"'),
    "a tab": ("title: Ball\nhook:\t2 mm", "title: Ball\nhook: 2 mm"),
    "no blank": ("title:Ball", "title: Ball"),
    "a key": ("tittle: Ball", "title: Ball"),
}


@pytest.mark.parametrize("slip", SLIPS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_slips_of_the_head(run, slip, line_end):
    typed, meant = SLIPS[slip]
    put(CLEAN.replace("title: Ball", typed), line_end=line_end)
    assert run("--fix", "ball.md").exit_code == 0
    assert Path("ball.md").read_bytes() == CLEAN.replace("title: Ball", meant).replace("\n", line_end).encode()


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_an_added_line_ends_like_the_others(run, line_end):
    put(CLEAN.replace("en-US\n---\n", "en-US\n"), line_end=line_end)
    run("--fix", "ball.md")
    assert Path("ball.md").read_bytes() == CLEAN.replace("\n", line_end).encode()


def test_a_key_that_changes_the_reading_is_not_certain(run):
    """`language: ja` would make other words of every round; `hook` makes none."""
    before = put(CLEAN.replace("language: en-US", "langage: ja"))
    assert "nothing to mend" in run("--fix", "ball.md").stderr
    assert Path("ball.md").read_bytes() == before
    put(CLEAN.replace("language: en-US", "langage: en-US\nhok: 2 mm"))
    run("--fix", "ball.md")
    assert Path("ball.md").read_text("utf-8") == CLEAN.replace("language: en-US", "language: en-US\nhook: 2 mm")


def test_the_commoner_style_is_kept(run):
    """The house style is what the file mostly does, whichever it is, with its own words beside the number."""
    put(HEAD + "## Ball\nR1: 6 sc in MR [6 sts]\nR2: inc x 6\nR3: [sc, inc] 6 times [18 sts]\nRnd 4: (2 sc, inc) x 6 (24)\nR5: [3 sc, inc] 6 times [30 sts]\n")
    run("--fix", "ball.md")
    lines = Path("ball.md").read_text("utf-8").splitlines()[6:]
    assert lines == [
        "R1: 6 sc in MR [6 sts]",
        "R2: inc x 6 [12 sts]",
        "R3: [sc, inc] 6 times [18 sts]",
        "R4: [2 sc, inc] 6 times [24]",
        "R5: [3 sc, inc] 6 times [30 sts]",
    ]


def test_the_house_file_decides(run):
    Path("house.yaml").write_text('total brackets: "[ ]"\nlabels: R\n', "utf-8")
    put(HEAD + "## Ball\nR1: 6 sc in MR [6]\nRnd 2: inc x 6\nRnd 3: (sc, inc) x 6 (18)\nRnd 4: (2 sc, inc) x 6 (24)\n")
    run("--fix", "ball.md")
    lines = Path("ball.md").read_text("utf-8").splitlines()[6:]
    assert lines == ["R1: 6 sc in MR [6]", "R2: inc x 6 [12]", "R3: (sc, inc) x 6 [18]", "R4: (2 sc, inc) x 6 [24]"]


def test_another_language_is_mended_in_its_own_words(run):
    put(HEAD.replace("en-US", "de") + "## Ball\nRd 1: 6 fM in den FR (6)\nRd 2: 6 zun\nRd 3: (fM, zun) x 6 (18)\nRunde 4: (2 fM, zun) x 6 [24]\n")
    shown = run("--fix", "ball.md")
    assert shown.exit_code == 0, shown.stderr
    lines = Path("ball.md").read_text("utf-8").splitlines()[6:]
    assert lines == ["Rd 1: 6 fM in den FR (6)", "Rd 2: 6 zun (12)", "Rd 3: (fM, zun) x 6 (18)", "Rd 4: (2 fM, zun) x 6 (24)"]


BRACKETS = {
    "(sc, inc x 6": "(sc, inc) x 6",
    "sc, inc) x 6": "(sc, inc) x 6",
    "(sc, inc] x 6": "(sc, inc) x 6",
    "((sc, inc) x 6": "(sc, inc) x 6",
}


@pytest.mark.parametrize("typed", BRACKETS)
def test_lonely_brackets(typed):
    text = CLEAN.replace("(sc, inc) x 6", typed)
    assert fixed(text)[0] == CLEAN.replace("(sc, inc) x 6", BRACKETS[typed])


def test_a_total_stands_before_a_remark():
    text = HEAD + "## Ball\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6. Stuff firmly.\n"
    assert fixed(text)[0] == text.replace("x 6. Stuff", "x 6 (12). Stuff")


def test_no_total_is_added_where_sizes_differ():
    text = HEAD.replace("title", "sizes: small, large\ntitle") + "## Ball\nRnd 1: 6 (8) sc in MR\nRnd 2: inc in each st around\n"
    assert fixed(text)[0] == text


# --- mends that were asked for -------------------------------------------------------------------------------------------------


def test_a_count_needs_its_code(run):
    before = put(WRONG)
    shown = run("--fix", "ball.md")
    assert (shown.exit_code, Path("ball.md").read_bytes()) == (1, before)
    shown = run("--fix", "total-differs", "ball.md")
    assert (shown.exit_code, Path("ball.md").read_text("utf-8")) == (0, CLEAN)


def test_several_codes_and_spellings_of_them(run):
    for arguments in (["--fix", "total-differs", "label-styles-mixed"], ["--fix=TOTAL_DIFFERS", "--fix", "[label-styles-mixed]"]):
        put(WRONG.replace("Rnd 3", "R3"))
        assert run("ball.md", *arguments).exit_code == 0
        assert Path("ball.md").read_text("utf-8") == CLEAN


def test_only_the_code_that_was_asked_for(run):
    put(WRONG.replace("Rnd 3", "R3"))
    run("--fix", "total-differs", "ball.md")
    assert Path("ball.md").read_text("utf-8") == CLEAN.replace("Rnd 3", "R3")


def test_an_unknown_code(run):
    before = put(WRONG)
    shown = run("--fix", "total-difers", "ball.md")
    assert shown.exit_code == 2
    assert "Did you mean 'total-differs'?" in shown.stderr
    assert Path("ball.md").read_bytes() == before


def test_a_file_named_like_a_word_is_a_file(run):
    put(MIXED, "ball")
    assert run("--fix", "ball").exit_code == 0
    assert Path("ball").read_text("utf-8") == MENDED


def test_a_mend_may_change_how_later_lines_count(run):
    """The next round goes on from the printed total until that is mended: its words stay, its count follows."""
    text = WRONG.replace("Rnd 3: (sc, inc) x 6 (18)\n", "Rnd 3: sc around\nRnd 4: sc around\n")
    put(text)
    assert run("--fix", "total-differs", "ball.md").exit_code == 0
    assert Path("ball.md").read_text("utf-8") == text.replace("13", "12")


@pytest.mark.parametrize("code", [code for code in codes() if code not in ("no-head",)])
def test_every_code_can_be_asked_for(code):
    """On the page's own example: the mend is made, or there is none; nothing falls over and nothing is read otherwise elsewhere."""
    text = page(code).text.partition("```\n")[2].partition("```")[0]
    mended = pipeline.mend(pipeline.understand(text.encode(), "x.md"), (code,))
    assert bool(mended.done) == any(found.code == code and found.edits for found in pipeline.understand(text.encode(), "x.md").problems)


# --- --diff --------------------------------------------------------------------------------------------------------------------


def test_diff_shows_and_writes_nothing(run):
    before = put(MIXED)
    about = Path("ball.md").stat()
    shown = run("--diff", "ball.md")
    assert Path("ball.md").read_bytes() == before
    assert Path("ball.md").stat().st_mtime_ns == about.st_mtime_ns
    assert shown.stdout.startswith("--- ball.md\n+++ ball.md (mended)\n@@ -")
    assert "-R2: inc x 6\n" in shown.stdout
    assert "+Rnd 2: inc x 6 (12)\n" in shown.stdout
    assert "label-styles-mixed" in shown.stderr
    assert "label-styles-mixed" not in shown.stdout
    assert "6 places would be mended in ball.md" in shown.stderr


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("cut", [None, -1])
def test_diff_can_be_applied(run, tmp_path, line_end, cut):
    """By git, an implementation of unified diffs that is not ours."""
    text = MIXED.replace("title: Ball", "title: Bruno: a bear")[:cut]
    put(text, line_end=line_end)
    shown = run("--diff", "ball.md")
    Path("change.diff").write_bytes(shown.stdout_bytes)
    subprocess.run(["git", "apply", "-p0", "--whitespace=nowarn", "change.diff"], check=True, cwd=tmp_path, env={**os.environ, "GIT_DIR": "none"})
    by_git = Path("ball.md").read_bytes()
    put(text, line_end=line_end)
    run("--fix", "ball.md")
    assert Path("ball.md").read_bytes() == by_git


def test_diff_of_a_code(run):
    before = put(WRONG)
    shown = run("--diff", "--fix", "total-differs", "ball.md")
    assert "+Rnd 2: inc x 6 (12)\n" in shown.stdout
    assert (shown.exit_code, Path("ball.md").read_bytes()) == (1, before)


def test_diff_of_standard_input(run):
    shown = run("--diff", "-", input=MIXED)
    assert "+Rnd 2: inc x 6 (12)\n" in shown.stdout


def test_diff_of_a_clean_file_is_empty(run):
    put(CLEAN)
    assert run("--diff", "ball.md").stdout == ""


@pytest.mark.parametrize("path", sorted((Path(__file__).parents[2] / "examples").glob("*/*.md")), ids=lambda path: path.stem)
def test_the_examples_need_no_mend(path):
    assert CliRunner().invoke(main, ["check", "--diff", str(path)]).stdout == ""


def test_json(run):
    put(MIXED)
    (shown,) = json.loads(run("--diff", "--json", "ball.md").stdout)
    assert shown["written"] is False
    assert shown["diff"].startswith("--- ball.md\n")
    assert {mend["code"] for mend in shown["mended"]} >= {"total-missing", "label-styles-mixed"}
    assert shown["mended"][0]["mend"][0].keys() == {"line", "column", "end_line", "end_column", "text"}
    assert shown["not_mended"] == []
    (shown,) = json.loads(run("--fix", "--json", "ball.md").stdout)
    assert shown["written"] is True
    assert "total-missing" not in {problem["code"] for problem in shown["problems"]}
    assert Path("ball.md").read_text("utf-8") == MENDED
    (plain,) = json.loads(run("--json", "ball.md").stdout)
    assert not {"mended", "written", "diff"} & set(plain)


# --- files ---------------------------------------------------------------------------------------------------------------------


def test_several_files_and_the_same_one_twice(run):
    put(MIXED, "a.md")
    clean = put(CLEAN, "b.md")
    shown = run("--fix", "a.md", "b.md", "./a.md")
    assert shown.exit_code == 0, shown.stderr
    assert Path("a.md").read_text("utf-8") == MENDED
    assert Path("b.md").read_bytes() == clean


def test_one_file_that_cannot_be_mended_stops_all_before_any_is_written(run):
    before = put(MIXED, "a.md")
    assert run("--fix", "a.md", "gone.md").exit_code == 2
    assert Path("a.md").read_bytes() == before


def test_the_mode_stays(run):
    put(MIXED)
    Path("ball.md").chmod(0o640)
    run("--fix", "ball.md")
    assert stat.S_IMODE(Path("ball.md").stat().st_mode) == 0o640
    assert Path("ball.md").read_text("utf-8") == MENDED


def test_a_file_that_may_only_be_read(run):
    before = put(MIXED)
    Path("ball.md").chmod(0o444)
    shown = run("--fix", "ball.md")
    assert shown.exit_code == 2
    assert "may only be read" in shown.stderr
    assert Path("ball.md").read_bytes() == before
    assert run("--diff", "ball.md").exit_code == 0


def test_standard_input_cannot_be_mended_in_place(run):
    shown = run("--fix", "-", input=MIXED)
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert "--diff" in shown.stderr


def test_links(run, tmp_path):
    (tmp_path / "in").mkdir()
    before = put(MIXED, "out.md")
    Path("in/out.md").symlink_to("../out.md")
    shown = run("--fix", "in/out.md")
    assert shown.exit_code == 2
    assert "leads out" in shown.stderr
    assert Path("out.md").read_bytes() == before
    put(MIXED, "in/ball.md")
    Path("in/beside.md").symlink_to("ball.md")
    assert run("--fix", "in/beside.md").exit_code == 0
    assert Path("in/beside.md").is_symlink()
    assert Path("in/ball.md").read_text("utf-8") == MENDED


def test_a_file_that_changes_meanwhile(run, monkeypatch):
    """Planted: somebody saves the file while it is being read."""
    put(MIXED)
    mend = pipeline.mend

    def late(*arguments, **more):
        Path("ball.md").write_text("mine", "utf-8")
        return mend(*arguments, **more)

    monkeypatch.setattr(pipeline, "mend", late)
    assert run("--fix", "ball.md").exit_code == 2
    assert Path("ball.md").read_text("utf-8") == "mine"


@pytest.mark.parametrize("data", [b"", bytes(range(256)) * 9, b"## Ball\nR1: 6 sc in MR (6) \xe9\nRnd 2: inc x 6\n", MIXED.encode("utf-16")])
def test_what_is_no_text_stays_as_it_is(run, data):
    Path("ball.md").write_bytes(data)
    assert run("--fix", "ball.md").exit_code == 1
    assert Path("ball.md").read_bytes() == data


# --- the text is read back -----------------------------------------------------------------------------------------------------


def our_fault(shown, before):
    assert shown.exit_code == 2
    assert "Our fault, not your pattern's: ReadBackFault" in shown.stderr
    assert shown.stdout == ""
    assert Path("ball.md").read_bytes() == before
    assert [path.name for path in Path().iterdir()] == ["ball.md"]


def test_a_wrong_mend_is_not_certain(run, monkeypatch):
    """Planted: totals with a digit too many. The other mends are made."""
    monkeypatch.setattr(missing_totals, "new_total", lambda _: "(1{n})")
    put(MIXED)
    run("--fix", "ball.md")
    assert Path("ball.md").read_text("utf-8") == MENDED.replace("Rnd 2: inc x 6 (12)", "Rnd 2: inc x 6")


def test_a_wrong_mend_that_slips_through_is_our_fault(run, monkeypatch):
    """Planted: the same, and nobody asks whether it is certain."""
    monkeypatch.setattr(missing_totals, "new_total", lambda _: "(1{n})")
    monkeypatch.setattr(mending, "certain", lambda chosen, _: tuple(chosen))
    before = put(MIXED)
    our_fault(run("--fix", "ball.md"), before)


@pytest.mark.parametrize(("find", "put_in"), [("Rnd 3: (sc, inc) x 6", "Rnd 3: (sc, dec) x 6"), ("Rnd 3: (sc, inc) x 6 (18)\n", "")])
def test_a_mend_that_changes_another_line_is_our_fault(run, monkeypatch, find, put_in):
    """Planted: the edit of one line spoils the next one."""
    apply = mending.apply

    def spoil(*arguments):
        applied = apply(*arguments)
        return applied._replace(text=applied.text.replace(find, put_in))

    monkeypatch.setattr(mending, "apply", spoil)
    before = put(WRONG)
    our_fault(run("--fix", "total-differs", "ball.md"), before)
    our_fault(run("--diff", "--fix", "total-differs", "ball.md"), before)


# --- generated patterns --------------------------------------------------------------------------------------------------------

LABELS = ("Rnd {n}: ", "R{n}: ", "Round {n}: ", "{n}. ", "Rnd {n} - ", "{n}) ")
TOTALS = (" ({n})", " [{n}]", " = {n}", " ({n} sts)", " – {n} sts", "", ".", ". Stuff firmly.")
REPEATS = ("({u}) x {n}", "[{u}] {n} times", "*{u}* x {n}", "*{u}; rep from * {m} more times", "({u}) around", "({u} x {n}", "{u}) x {n}", "({u}] x {n}")
HEADS = ("", HEAD, "---\ntitle: Bruno: a bear\nhok: 3 mm\n---\n\n", "---\ntitle:\tA #1\n\n")
ENDS = ("\n", "\r\n", "\r")


@st.composite
def patterns(draw):
    """A ball of 6 to 30 stitches that closes, written in many hands; now and then with a slip."""
    rows, size = ["## Ball", "", "Prose: (sc, inc x 6 [that] stays."], 1
    rows.append(draw(st.sampled_from(LABELS)).format(n=1) + "6 sc in MR" + draw(st.sampled_from(TOTALS)).format(n=6))
    for n in range(2, draw(st.integers(3, 8))):
        change = draw(st.sampled_from([1, 1, -1, 0])) if 1 < size < 5 else 1
        plain = size - (1 if change > 0 else 2)
        kind = "inc" if change > 0 else "dec"
        stitches = f"{plain} sc, {kind}" if plain > 1 else f"sc, {kind}" if plain else kind
        body = draw(st.sampled_from(REPEATS)).format(u=stitches, n=6, m=5) if change else "sc around"
        size += change
        total = 6 * size + draw(st.sampled_from([0] * 9 + [1]))
        rows.append(draw(st.sampled_from(LABELS)).format(n=n) + body + draw(st.sampled_from(TOTALS)).format(n=total))
    return draw(st.sampled_from(HEADS)) + draw(st.sampled_from(ENDS)).join([*rows, draw(st.sampled_from(["", "", "End."]))])


def numbers(understood):
    return [(line.available, line.consumed, line.total, line.carried, line.fault) for line in understood.graph.settled]


@settings(max_examples=150, deadline=None)
@given(patterns())
def test_fixing_twice_is_fixing_once_and_no_count_changes(text):
    once, before = fixed(text)
    twice, after = fixed(once)
    assert twice == once
    assert numbers(after) == numbers(before)
    assert "Prose: (sc, inc x 6 [that] stays." in once
    assert once.count("\r") == text.count("\r") or text.startswith("---\ntitle:\tA")


@settings(max_examples=60, deadline=None)
@given(patterns(), st.sampled_from(["total-differs", "round-does-not-close", "bracket-unbalanced", "repeat-styles-mixed", "unknown-key"]))
def test_any_code_can_be_asked_for(text, code):
    mended = pipeline.mend(pipeline.understand(text.encode(), "x.md"), (code,))
    if mended.done:
        assert mending.unified(text, mended.data.decode(), "a", "b")
