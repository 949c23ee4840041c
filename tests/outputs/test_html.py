"""HTML: well-formed, accessible, strict about names, and harmless whatever a designer typed."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from booklet.editions.discover import layout, papers
from booklet.outputs.html import held, html, line, prose
from booklet.outputs.html_titles import balanced, cells
from booklet.outputs.pictures import Prepared
from booklet.pages.book import Cover, Prose, Section
from tests.pages.handmade import PICTURE, book, proof
from tests.timing import below

PICTURES = {(PICTURE.path, "photo"): Prepared("picture-1.jpg", b"jpeg", 60, 40)}
VOID = re.compile(r"<(meta|img|br|hr)((?:\s[^<>]*?)?)\s*/?>")


def tree(page: str) -> ElementTree.Element:
    """The page as XML: void elements closed, everything else must be well-formed as it stands."""
    body = page.removeprefix("<!doctype html>\n")
    return ElementTree.fromstring(VOID.sub(r"<\1\2/>", body).replace("&nbsp;", "\u00a0"))


@pytest.fixture(params=sorted(papers()))
def paper(request):
    return layout(request.param)


@pytest.fixture(params=[book, proof], ids=["book", "proof"])
def made(request, paper):
    return html(request.param(), paper, PICTURES)


def test_three_layouts_are_there():
    assert set(papers()) >= {"a4", "a5", "letter"}


def test_the_page_is_well_formed(made):
    assert tree(made[0]).tag == "html"


def test_language_title_and_author(made):
    root = tree(made[0])
    assert root.get("lang") == "en-US"
    assert root.findtext("head/title") == "Nut & Shell"
    names = {meta.get("name"): meta.get("content") for meta in root.iter("meta")}
    assert names["author"] == "Example Studio"
    assert names["dcterms.created"] == "2026-11-24"


def test_headings_skip_no_level(made):
    levels = [int(element.tag[1]) for element in tree(made[0]).iter() if re.fullmatch("h[1-6]", element.tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels)), levels


def test_every_picture_has_a_text_and_every_header_cell_a_direction(made):
    root = tree(made[0])
    assert all(image.get("alt") is not None for image in root.iter("img"))
    assert all(cell.get("scope") in ("row", "col") for cell in root.iter("th"))


def test_every_link_has_its_place_and_no_id_stands_twice(made):
    root = tree(made[0])
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    targets = [link.get("href") for link in root.iter("a") if link.get("href", "").startswith("#")]
    assert {target[1:] for target in targets} <= set(ids)


def test_the_files_are_what_the_page_names(made):
    page, files = made
    named = set(re.findall(r'src="([^"]+)"', page)) | set(re.findall(r"url\(([^)\"']+)\)", page))
    assert named == set(files)


def test_every_text_of_the_book_is_printed(made):
    text = " ".join("".join(tree(made[0]).itertext()).split())
    wanted = ["6 sc in MR", "(6)", "Rnds 2–3", "Place them.", "Weave in.", "Standing.", "WARNING: X", "about 4 m"]
    for words in [*wanted, "second not fastened off"]:
        assert words in text, words


def test_a_proof_lists_its_findings_and_the_stated_total(paper):
    text = "".join(tree(html(proof(), paper, PICTURES)[0]).itertext())
    assert "mend it" in text
    assert "(7)" in text


def test_a_picture_that_was_not_prepared_is_left_out(paper):
    page, files = html(book(), paper, {})
    assert "<figure" not in page
    assert not any(name.endswith(".jpg") for name in files)


def test_a_book_without_anything_still_prints(paper):
    plain = replace(book(), subtitle="", designer="", date="", keywords=(), cover=Cover(None, (), ()))
    empty = replace(plain, contents=(), glance=(), notes=(), parts=(), finishing=())
    assert tree(html(empty, paper)[0]).tag == "html"


def test_the_same_book_gives_the_same_page(paper):
    assert html(book(), paper, PICTURES) == html(book(), paper, PICTURES)


# ---- a layout that asks for what is not there ----


def template(tmp_path, monkeypatch, text):
    """A folder of layouts with one layout in it."""
    import booklet.editions.discover as discover
    import booklet.outputs.html as door

    place = tmp_path / "layouts"
    (place / "mine").mkdir(parents=True)
    (place / "mine" / "page.html").write_text(text, "utf-8")
    (tmp_path / "secret.txt").write_text("a secret", "utf-8")
    monkeypatch.setattr(door, "folder", lambda name: place)
    monkeypatch.setattr(discover, "folder", lambda name: place)
    return replace(layout("a5"), name="mine")


UNKNOWN = ["{{ book.tilte }}", "{{ words.nothing }}", "{{ layout.colour }}", "{% for x in book.shops %}{% endfor %}"]


@pytest.mark.parametrize("asked", UNKNOWN)
def test_an_unknown_field_fails(tmp_path, monkeypatch, asked):
    import jinja2

    with pytest.raises(jinja2.UndefinedError):
        html(book(), template(tmp_path, monkeypatch, asked))


@pytest.mark.parametrize(
    "asked",
    [
        '{% include "../secret.txt" %}',
        '{% include "/etc/passwd" %}',
        '{{ style("../secret.txt") }}',
        '{{ style("mine/../../secret.txt") }}',
    ],
)
def test_a_layout_reads_nothing_outside_the_folder_of_layouts(tmp_path, monkeypatch, asked):
    import jinja2

    with pytest.raises(jinja2.TemplateNotFound):
        html(book(), template(tmp_path, monkeypatch, asked))


def test_a_layout_runs_in_a_sandbox(tmp_path, monkeypatch):
    import jinja2

    with pytest.raises((jinja2.exceptions.SecurityError, jinja2.UndefinedError)):
        html(book(), template(tmp_path, monkeypatch, "{{ book.__class__.__mro__[1].__subclasses__() }}"))


# ---- what a designer, or somebody else, typed ----

HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<b onmouseover='x()'>bold</b>",
    "[a](javascript:alert(1))",
    "[a](JaVaScRiPt:alert(1))",
    "[a](java&#x0A;script:alert(1))",
    "[a](file:///etc/passwd)",
    "[a](data:text/html,x)",
    "[a](//example.org)",
    "[a](http://example.org)",
    "<javascript:alert(1)>",
    "<file:///etc/passwd>",
    "![a](file:///etc/passwd)",
    "![a](https://example.org/pixel.gif)",
    '[a](https://example.org" onclick="x)',
    "[a][b]\n\n[b]: javascript:alert(1)",
    "![a][b]\n\n[b]: file:///etc/passwd",
    "<style>*{display:none}</style>",
    "<link rel=attachment href=file:///etc/passwd>",
    "<!-- comment -->",
    "<?php echo 1 ?>",
    "<![CDATA[<script>]]>",
    "&lt;script&gt;",
    "`<script>`",
    "    <script>",
    "a\x02b\x03c wzxhzdk:0",
    "<svg onload=x><use href='#a'/></svg>",
]
ALLOWED = set("p em strong a span code pre br ul ol li blockquote hr div table thead tbody tr th td".split())


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_markdown_is_inert(text):
    root = ElementTree.fromstring(f"<div>{prose(text)}</div>".replace("\x02", "").replace("\x03", ""))
    for element in root.iter():
        assert element.tag in ALLOWED, element.tag
        assert set(element.attrib) <= {"href", "scope", "class", "style"}
        assert re.match(r"(https://|mailto:|#)", element.get("href", "#")), element.get("href")
        assert not set(element.get("href", "")) & set("\"'<>")


@pytest.mark.parametrize("where", ["title", "subtitle", "designer"])
def test_plain_fields_are_escaped(where, paper):
    page, _ = html(replace(book(), **{where: '"><script>x</script>{{ 1234*3 }}'}), paper)
    assert "<script>" not in page
    assert "3702" not in page
    tree(page)


def test_titles_are_set_in_even_lines():
    assert balanced("Fergus the Harbor Otter", 17) == ["Fergus the", "Harbor Otter"]
    assert balanced("Acorn", 17) == ["Acorn"]
    long = balanced("The Quite Remarkably Long Title of a Toy Otter", 24)
    assert len(long) == 3
    assert max(map(len, long)) <= 20
    assert balanced("", 17) == []
    assert balanced("Donaudampfschifffahrt", 17) == ["Donaudampfschifffahrt"]


def test_a_short_last_word_is_kept_with_its_neighbour():
    assert held("join with sl st to first st") == "join with sl st to first\u00a0st"
    assert held("sc <around>") == "sc &lt;around&gt;"
    assert held("6 inc") == "6 inc"
    assert held("") == ""


def test_good_links_stay():
    made = prose("[a](https://example.org/x?y=1&z=2) <mailto:hello@example.org> [b](#part-1)")
    found = [element.get("href") for element in ElementTree.fromstring(f"<div>{made}</div>").iter("a")]
    assert found == ["https://example.org/x?y=1&z=2", "mailto:hello@example.org", "#part-1"]


def test_a_heading_in_prose_becomes_a_paragraph():
    assert not re.search(r"<h\d", prose("# big\n\nunder\n===\n\n###### small"))


def test_tables_say_what_their_headers_head():
    root = ElementTree.fromstring(f"<div>{prose('| a | b |' + chr(10) + '|---|---|' + chr(10) + '| 1 | 2 |')}</div>")
    assert [cell.get("scope") for cell in root.iter("th")] == ["col", "col"]


def test_a_caption_is_one_line():
    assert line("The *nut*\nbefore") == "The <em>nut</em> before"
    assert "<" not in line("# a\n\n- b").replace("&lt;", "")


@pytest.mark.parametrize(
    "text",
    [
        ">" * 3000 + " deep",
        "\n".join("  " * depth + "- a" for depth in range(400)),
        "[" * 15_000,
        "*" * 15_000,
        "`" * 15_000,
        "![" * 7_000,
        "_a" * 9_000,
        "**a " * 4_000,
        "<" * 15_000,
        "[a](" * 4_000,
        "&" * 15_000,
        "\\" * 15_000,
        "|" * 9_000 + "\n" + "|-" * 4_500,
        "a" * 1_000_000,
    ],
    ids=lambda text: repr(text[:6]),
)
def test_giant_nesting_and_repetition_end_soon(text):
    assert below(5, lambda: prose(text))
    made = prose(text)
    root = ElementTree.fromstring(f"<div>{made}</div>")
    assert _depth(root) < 30


def _depth(element) -> int:
    depth, level = 0, [element]
    while level:
        depth, level = depth + 1, [child for one in level for child in one]
    return depth


def test_hostile_prose_reaches_no_page(paper):
    bad = replace(book(), notes=(Section("section-2", "notes", "<b>", tuple(Prose(text) for text in HOSTILE)),))
    page, files = html(bad, paper)
    assert not re.search(r"<(script|iframe|object|link|svg)\b", page)
    assert not re.search(r"<[^>]*\son\w+=", page)
    assert not any("passwd" in name for name in files)


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("The otter's \"tail\"...", "The otter’s “tail”…"),
        ('a 5" tail and a 12" scarf', "a 5″ tail and a 12″ scarf"),
        ("`it's` code", "<code>it's</code> code"),
    ],
)
def test_quotes_of_a_book(typed, printed):
    assert line(typed) == printed


def test_titles_in_japanese_are_broken_where_a_reader_pauses():
    title = "港の見張り番カワウソのファーガスと、しましまセーター・長いマフラーの編みぐるみ"
    made = balanced(title, 34)
    assert "".join(made) == title
    assert 2 <= len(made) <= 4
    assert all(cells(line) <= 34 for line in made)
    assert not any(line[0] in "、。・ーァィゥェォャュョッ" for line in made)
    assert cells("かぎ針") == 6 and cells("hook") == 4


def test_a_number_stays_with_what_it_counts() -> None:
    from booklet.outputs.html import counted

    assert counted("2 stitches & 6 times (<3)") == "2\u00a0stitches &amp; 6\u00a0times (&lt;3)"
    assert counted("次の6目に") == '次の<span class="counted">6目</span>に'
