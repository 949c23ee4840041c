"""Edits in a text: first come, first served; everything else stays; the diff says exactly what has changed."""

import subprocess

from hypothesis import given
from hypothesis import strategies as st

from booklet.diagnostics.diagnostic import Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.reports.mending import apply, certain, mends, unified


def edit(line, start, end, text):
    return Edit(Span(line, start, line, end), text)


def of(*edits, code="total-missing"):
    return mends([diagnostic(code, edits=edits)], lambda _: True)


def test_the_edits_of_a_finding_are_one_mend_a_line():
    found = of(edit(2, 1, 2, "x"), edit(1, 3, 3, "y"), edit(1, 1, 1, "z"))
    assert [[one.text for one in mend.edits] for mend in found] == [["z", "y"], ["x"]]


def test_findings_about_other_files_are_left_out():
    problem = diagnostic("unknown-key", edits=(edit(1, 1, 2, "x"),), file="house.yaml")
    assert mends([problem], lambda _: True) == ()


def test_the_first_of_two_on_the_same_words_wins():
    chosen = [*of(edit(1, 1, 4, "xyz")), *of(edit(1, 3, 6, "no")), *of(edit(1, 6, 6, "!"))]
    applied = apply("abcdef\n", chosen)
    assert applied.text == "xyzde!f\n"
    assert [mend.edits[0].text for mend in applied.left] == ["no"]


def test_two_insertions_at_one_point_are_one_too_many():
    applied = apply("ab", [*of(edit(1, 2, 2, "1")), *of(edit(1, 2, 2, "2"))])
    assert (applied.text, len(applied.left)) == ("a1b", 1)


def test_insertions_beside_a_replaced_stretch_are_no_overlap():
    assert apply("abc", [*of(edit(1, 2, 3, "X")), *of(edit(1, 2, 2, "<")), *of(edit(1, 3, 3, ">"))]).text == "a<X>c"


def test_a_mend_is_made_whole_or_not_at_all():
    chosen = [*of(edit(1, 1, 2, "A")), *of(edit(1, 1, 2, "x"), edit(1, 3, 4, "C"))]
    assert apply("abc", chosen).text == "Abc"


def test_a_place_that_is_not_there_is_left_alone():
    applied = apply("abc", [*of(edit(7, 1, 1, "x")), *of(edit(1, 9, 9, "x"))])
    assert (applied.text, len(applied.left)) == ("abc", 2)


def test_lines_end_at_three_signs_only():
    text = "a\u2028b\x0bc\rd\r\ne\nf"
    assert apply(text, of(edit(4, 1, 2, "F"))).text == text.replace("f", "F")
    assert apply(text, of(edit(1, 1, 1, "x\n")), "\r\n").text == "x\r\n" + text


def test_what_disagrees_is_found():
    chosen = [of(edit(n, 1, 1, str(n)))[0] for n in range(1, 30)]
    kept = certain(chosen, lambda some: not {mend.edits[0].text for mend in some} & {"4", "17", "18"})
    assert [int(mend.edits[0].text) for mend in kept] == [n for n in range(1, 30) if n not in (4, 17, 18)]


def test_seeking_ends_where_nothing_agrees():
    looks = []
    assert certain([of(edit(n, 1, 1, "x"))[0] for n in range(1, 5000)], lambda some: looks.append(some)) == ()
    assert len(looks) <= 60


def test_no_change_is_no_diff():
    assert unified("a\nb", "a\nb", "x", "x") == ""


LINES = st.lists(st.sampled_from(["a\n", "b\n", "c\n", "\n", "d\r\n"]), max_size=30)


@given(LINES, LINES, st.sampled_from(["", "end"]))
def test_a_diff_turns_the_old_text_into_the_new_one(old, new, last):
    before, after = "".join(old), "".join(new) + last
    assert patched(before, unified(before, after, "a", "b")) == after


def patched(text, difference):
    """Apply a unified diff as its description says: https://www.gnu.org/software/diffutils/manual/html_node/Detailed-Unified.html"""
    lines, out, at = text.splitlines(keepends=True), [], 0
    rows = difference.split("\n")[2:-1]
    for row in rows:
        if row.startswith("@@"):
            start, size = (int(number) for number in row.split()[1][1:].split(","))
            upto = start - 1 if size else start
            out += lines[at:upto]
            at = upto
        elif row.startswith("\\"):
            out[-1] = out[-1].removesuffix("\n") if out else ""
        elif row[0] == "-":
            assert lines[at].rstrip("\n") == row[1:]
            at += 1
        else:
            out.append(row[1:] + "\n")
            if row[0] == " ":
                assert lines[at].rstrip("\n") == row[1:]
                at += 1
    return "".join([*out, *lines[at:]])


def test_a_real_patch_program_reads_it(tmp_path):
    before = "".join(f"line {n}\n" for n in range(40))
    after = before.replace("line 0\n", "new\nline 0\n").replace("line 20\n", "line twenty\n").replace("line 39\n", "the end")
    (tmp_path / "x").write_text(before)
    (tmp_path / "d").write_text(unified(before, after, "x", "x"))
    subprocess.run(["git", "apply", "-p0", "d"], check=True, cwd=tmp_path)
    assert (tmp_path / "x").read_text() == after
