"""What every command does when all is well, and how it refuses what it cannot do."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from booklet.cli import COMMANDS, main
from booklet.diagnostics.codes import codes, page
from booklet.press.rules import rules

GOOD = "---\ntitle: Ball\nlanguage: en-US\n---\n\n## Ball\nWorked in a spiral.\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n"


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *arguments, **more: CliRunner().invoke(main, arguments, **more)


def test_help_names_every_command(run):
    shown = run("--help")
    assert shown.exit_code == 0
    assert all(re.search(rf"^  {command} ", shown.stdout, re.MULTILINE) for command in COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_and_json(run, command):
    shown = run(command, "--help")
    assert shown.exit_code == 0
    assert "--json" in shown.stdout


def test_version(run):
    assert re.fullmatch(r"booklet \d+\.\d+\.\d+\n", run("--version").stdout)


def test_a_mistyped_command_gets_a_hint(run):
    shown = run("chekc", "x.md")
    assert shown.exit_code == 2
    assert "Did you mean 'check'?" in shown.stderr


def test_an_unknown_option_is_status_2(run):
    assert run("check", "--colour", "x.md").exit_code == 2
    assert run("check").exit_code == 2


def test_check_of_a_good_file(run, tmp_path):
    Path("ball.md").write_text(GOOD, "utf-8")
    shown = run("check", "ball.md")
    assert (shown.exit_code, shown.stdout) == (0, "")
    assert shown.stderr.splitlines()[-1].endswith("in ball.md")


def test_check_statuses(run):
    Path("good.md").write_text(GOOD, "utf-8")
    Path("wrong.md").write_text(GOOD.replace("(12)", "(13)"), "utf-8")
    Path("doubtful.md").write_text(GOOD.replace("Rnd 2", "Rnd 3"), "utf-8")
    assert run("check", "good.md").exit_code == 0
    assert run("check", "doubtful.md").exit_code == 0
    assert run("check", "--strict", "doubtful.md").exit_code == 1
    assert run("check", "wrong.md").exit_code == 1
    assert run("check", "good.md", "wrong.md").exit_code == 1
    assert run("check", "good.md", "gone.md").exit_code == 2


def test_check_json_is_one_object_a_file_in_the_order_given(run):
    Path("b.md").write_text(GOOD, "utf-8")
    Path("a.md").write_text(GOOD.replace("(12)", "(13)"), "utf-8")
    shown = run("check", "b.md", "./a.md", "--json")
    objects = json.loads(shown.stdout)
    assert [one["file"] for one in objects] == ["b.md", "./a.md"]
    assert shown.stderr == ""
    (problem,) = [one for one in objects[1]["problems"] if one["severity"] == "error"]
    assert (problem["code"], problem["line"], problem["column"], problem["end_column"]) == ("total-differs", 9, 16, 20)
    assert problem["mend"] == [{"line": 9, "column": 16, "end_line": 9, "end_column": 20, "text": "(12)"}]
    assert shown.exit_code == 1


def test_check_reads_standard_input(run):
    shown = run("check", "-", "--json", input=GOOD)
    assert json.loads(shown.stdout)[0]["file"] == "-"
    assert shown.exit_code == 0


def test_no_colour_where_nobody_looks(run):
    Path("wrong.md").write_text(GOOD.replace("(12)", "(13)"), "utf-8")
    assert "\x1b" not in run("check", "wrong.md").stderr


@pytest.mark.parametrize("code", codes())
def test_explain_every_code(run, code):
    shown = run("explain", code)
    assert shown.exit_code == 0
    assert shown.stdout.startswith(f"{code} ({page(code).severity})\n")
    assert json.loads(run("explain", code, "--json").stdout)["text"] == page(code).text


@pytest.mark.parametrize("code", rules())
def test_explain_what_preflight_objects_to(run, code):
    shown = run("explain", code)
    assert shown.exit_code == 0
    head = shown.stdout.splitlines()[0]
    assert head.startswith(f"{code} (")
    assert all((f"{purpose}: {gravity}" in head) == (gravity != "-") for purpose, gravity in rules()[code].severity.items())
    assert rules()[code].why in shown.stdout
    assert json.loads(run("explain", code, "--json").stdout)["message"] == rules()[code].message


def test_a_near_code_may_be_one_of_preflight(run):
    assert "Did you mean 'bleed-missing'?" in run("explain", "bleed-mising").stderr
    assert run("check", "--fix", "bleed-missing", "-").exit_code == 2


def test_no_code_means_two_things():
    assert not set(rules()) & set(codes())


def test_explain_takes_a_code_as_it_was_printed(run):
    assert run("explain", "[total-differs]").exit_code == 0
    assert run("explain", "TOTAL_DIFFERS").exit_code == 0


def test_explain_of_an_unknown_code(run):
    shown = run("explain", "total-difers")
    assert shown.exit_code == 2
    assert "Did you mean 'total-differs'?" in shown.stderr


@pytest.mark.parametrize(
    ("kind", "first"),
    [("languages", "tag"), ("stitches", "id"), ("codes", "code"), ("fonts", "family"), ("layouts", "name")],
)
def test_lists(run, kind, first):
    shown = run("list", kind)
    assert shown.exit_code == 0
    objects = json.loads(run("list", kind, "--json").stdout)
    assert len(objects) == len(shown.stdout.splitlines()) > 0
    assert all(line.startswith(one[first]) for line, one in zip(shown.stdout.splitlines(), objects, strict=True))


def test_an_unknown_list(run):
    shown = run("list", "layout")
    assert shown.exit_code == 2
    assert "Did you mean 'layouts'?" in shown.stderr


def test_new_writes_a_pattern_that_checks_without_a_warning(run):
    shown = run("new", "pebble")
    assert (shown.exit_code, shown.stdout) == (0, str(Path("pebble/pebble.md")) + "\n")
    assert run("check", "--strict", "pebble/pebble.md").exit_code == 0
    assert [path.name for path in Path("pebble").iterdir()] == ["pebble.md"]


def test_new_overwrites_nothing(run):
    run("new", "pebble")
    Path("pebble/pebble.md").write_text("mine", "utf-8")
    shown = run("new", "pebble")
    assert shown.exit_code == 2
    assert Path("pebble/pebble.md").read_text("utf-8") == "mine"
    Path("taken").write_text("mine", "utf-8")
    assert run("new", "taken").exit_code == 2
    assert Path("taken").read_text("utf-8") == "mine"


def test_figures(run):
    Path("ball.md").write_text(GOOD, "utf-8")
    shown = run("figures", "ball.md")
    assert (shown.exit_code, shown.stdout) == (0, "")
    assert "Ball" in shown.stderr
    made = json.loads(run("figures", "ball.md", "--json").stdout)
    assert list(made)[:2] == ["gauge", "parts"]
    assert [part["name"] for part in made["parts"]] == ["Ball"]


def test_figures_of_a_choice(run):
    Path("ball.md").write_text(GOOD + "\nOptional (mouth): Embroider the mouth from Rnd 1 to Rnd 2.\n", "utf-8")
    assert run("figures", "ball.md", "--choose", "mouth=with").exit_code == 0
    for wrong in ("mouth", "mouth=what", "mout=with"):
        assert run("figures", "ball.md", "--choose", wrong).exit_code == 2


def test_a_fault_of_ours_says_so(run, monkeypatch):
    """Planted: a stage that falls over."""
    from booklet import pipeline

    def fall_over(*_, **__):
        raise ZeroDivisionError("planted \x1b[31m")

    monkeypatch.setattr(pipeline, "understand", fall_over)
    Path("ball.md").write_text(GOOD, "utf-8")
    shown = run("check", "ball.md")
    assert shown.exit_code == 2
    assert shown.stdout == ""
    assert "Our fault, not your pattern's: ZeroDivisionError: planted" in shown.stderr
    assert "report" in shown.stderr
    assert "Traceback" not in shown.stderr
    assert "\x1b" not in shown.stderr


def test_a_broken_table_is_told_with_its_line(run, monkeypatch):
    from booklet import pipeline
    from booklet.tables.reader import TableFault

    def fault(*_, **__):
        raise TableFault("stitches.tsv", 14, "no number in the column yarn")

    monkeypatch.setattr(pipeline, "understand", fault)
    Path("ball.md").write_text(GOOD, "utf-8")
    shown = run("check", "ball.md")
    assert shown.exit_code == 2
    assert "stitches.tsv:14: no number in the column yarn" in shown.stderr
