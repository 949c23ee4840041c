"""The booklet for telephones: one file, nothing loaded, everything named; in a browser where there is one."""

import base64
import hashlib
import html
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest

from booklet import pipeline
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.outputs.html import html as set_html
from booklet.outputs.html_file import one_file
from booklet.tables.language import load, printable

ROOT = Path(__file__).parents[2]
OTTER = ROOT / "examples" / "harbour-otter" / "otter.md"
BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)


class Parsed(HTMLParser):
    """Every element with its attributes, and whether all of them are closed in order."""

    VOID = frozenset(("meta", "img", "br", "input", "link", "hr"))

    def __init__(self, page):
        super().__init__()
        self.open, self.found, self.wrong = [], [], []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def all(self, tag):
        return [attrs for name, attrs in self.found if name == tag]


@pytest.fixture(scope="module")
def understood():
    return pipeline.understand(OTTER.read_bytes(), str(OTTER))


def made(understood, tag="en-US", **changes):
    language = load(tag)
    edition = Edition((tag,), language.terms, language.settings["units"], layout="phone")
    book, _ = pipeline.book_of(understood, edition, layout("phone"), OTTER.parent, pipeline.Shared())
    for name, value in changes.items():
        object.__setattr__(book, name, value)
    page, files = set_html(book, layout("phone"))
    return one_file(page, files).decode()


@pytest.fixture(scope="module")
def page(understood):
    edition = Edition(("en-US",), "US", "imperial", layout="phone")
    text, files, _ = pipeline.set_pages(understood, edition, layout("phone"), OTTER.parent, pipeline.Shared())
    return one_file(text, files).decode()


def test_it_is_well_formed_and_every_name_is_there_once(page):
    parsed = Parsed(page)
    assert (parsed.wrong, parsed.open) == ([], [])
    ids = [attrs["id"] for _, attrs in parsed.found if attrs.get("id")]
    assert len(ids) == len(set(ids))
    for attrs in parsed.all("a"):
        if attrs["href"].startswith("#"):
            assert attrs["href"][1:] in ids, attrs


def test_every_round_unfolds_its_plain_words(page):
    """A telephone has room for them behind a touch; a screen reader finds them in their place."""
    assert page.count('<details class="plain">') == page.count("<summary>In plain words</summary>") > 40
    assert "Work 6\u00a0single crochets into the ring. Now you have 6\u00a0stitches.</details>" in page


def test_nothing_is_asked_of_anybody(page):
    parsed = Parsed(page)
    for tag, attrs in parsed.found:
        for name in ("src", "srcset", "poster", "data"):
            assert attrs.get(name, "data:").startswith("data:"), (tag, attrs)
    assert not parsed.all("link")
    assert not re.findall(r"url\((?!data:)", page)
    assert not re.search(r"\b(fetch|XMLHttpRequest|WebSocket|sendBeacon|import)\b", parsed_script(page))


def parsed_script(page):
    (script,) = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    return script


def test_the_policy_lets_our_script_run_and_nothing_else(page):
    (policy,) = [one["content"] for one in Parsed(page).all("meta") if one.get("http-equiv") == "Content-Security-Policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    digest = base64.b64encode(hashlib.sha256(parsed_script(page).encode()).digest()).decode()
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == f"'sha256-{digest}'"  # W3C Content Security Policy Level 3, 2.3.1
    assert rules["img-src"] == "data:"
    assert "connect-src" not in rules


def test_every_box_has_a_name_and_every_round_a_box(page, understood):
    parsed = Parsed(page)
    boxes = parsed.all("input")
    assert all(attrs["type"] == "checkbox" and attrs["aria-label"].strip() for attrs in boxes)
    rounds = sum(part.rounds for part in understood.graph.parts)
    assert len(boxes) >= rounds
    assert all(attrs.get("alt", "").strip() for attrs in parsed.all("img"))
    assert '<i class="tick">' not in page


@pytest.mark.parametrize("tag", printable())
def test_in_every_language(understood, tag):
    text = made(understood, tag)
    parsed = Parsed(text)
    assert (parsed.wrong, parsed.open) == ([], [])
    assert parsed.all("html")[0] == {"lang": tag, "dir": "rtl" if tag == "he" else "ltr"}
    said = parsed.all("body")[0]
    assert all(said[f"data-{name}"] for name in ("enlarge", "close", "again", "ask", "done"))
    assert {"{n}", "{all}"} <= set(re.findall(r"\{\w+\}", html.unescape(said["data-done"])))


# ---- in a browser ----

needs_browser = pytest.mark.skipif(BROWSER is None, reason="NOT TESTED: there is no Chromium on this machine")

PROBE = """<script>addEventListener("load", function () {
  const send = function (found) { parent.postMessage(found, "*"); };
  const open = document.querySelectorAll(".enlarge"), box = document.querySelector("input.tick");
  box.click();
  function rgb(text) { const c = document.createElement("canvas").getContext("2d"); c.fillStyle = text; c.fillRect(0, 0, 1, 1); return c.getImageData(0, 0, 1, 1).data; }
  function light(text) { const p = Array.from(rgb(text)).slice(0, 3).map(function (v) { v /= 255; return v <= .04045 ? v / 12.92 : Math.pow((v + .055) / 1.055, 2.4); }); return .2126 * p[0] + .7152 * p[1] + .0722 * p[2]; }
  const ground = light(getComputedStyle(document.documentElement).backgroundColor);
  let worst = 99, where = "";
  for (const one of document.querySelectorAll("main *, .bar *, header *")) {
    if (!Array.from(one.childNodes).some(function (n) { return n.nodeType === 3 && n.data.trim(); }) || !one.offsetParent) continue;
    const ink = light(getComputedStyle(one).color), ratio = (Math.max(ink, ground) + .05) / (Math.min(ink, ground) + .05);
    if (ratio < worst) { worst = ratio; where = one.className || one.tagName; }
  }
  const small = Array.from(document.querySelectorAll("button, .bar a, .contents a")).filter(function (b) { return b.offsetParent && b.getBoundingClientRect().height < 44; });
  open[open.length - 1].click();
  send(JSON.stringify({
    width: innerWidth, wide: document.documentElement.scrollWidth, buttons: open.length, worst: worst, where: where,
    ticked: document.querySelector(".done").textContent, view: document.querySelector("dialog").open, small: small.length,
    focus: document.activeElement.className, large: document.querySelector("dialog img").getBoundingClientRect().width,
    name: Object.keys(localStorage)[0] || ""
  }));
});</script>"""


# A window of a browser without a screen is not narrower than 500 pixels; a frame in it is.
FRAME = """<!doctype html><meta charset="utf-8"><title>A telephone</title>
<script>addEventListener("message", function (told) {{
  const sheet = document.createElement("pre"); sheet.id = "probe"; sheet.textContent = told.data; document.body.append(sheet);
}});</script><body><iframe width="{width}" height="800" style="border:0" srcdoc="{page}"></iframe>"""


def probed(page, folder, width, *options):
    import json

    # The probe is a second script: the policy lets it run by its own digest.
    digest = base64.b64encode(hashlib.sha256(PROBE[8:-9].encode()).digest()).decode()
    file = folder / "frame.html"
    inside = page.replace("script-src ", f"script-src 'sha256-{digest}' ", 1).replace("</body>", PROBE + "</body>")
    file.write_text(FRAME.format(width=width, page=html.escape(inside)), "utf-8")
    command = [
        BROWSER, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'profile'}", "--window-size=900,900",
        "--enable-logging=stderr", "--v=0", "--virtual-time-budget=3000", "--dump-dom", *options, file.as_uri(),
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    spoken = [line for line in done.stderr.splitlines() if "CONSOLE" in line]
    (found,) = re.findall(r'<pre id="probe">(.*?)</pre>', done.stdout, re.DOTALL) or [""]
    assert found, done.stderr[-2000:]
    return json.loads(html.unescape(found)), spoken


@needs_browser
@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("direction", ["ltr", "rtl"])
def test_on_a_narrow_screen(understood, tmp_path, dark, direction):
    """360 pixels is the width of small telephones; 4.5 : 1 and 44 pixels: WCAG 2.2, 1.4.3 and 2.5.5."""
    text = made(understood, direction=direction)
    options = ["--blink-settings=preferredColorScheme=0"] if dark else ["--blink-settings=preferredColorScheme=1"]
    found, spoken = probed(text, tmp_path, 360, *options)
    assert spoken == []
    assert found["width"] == 360
    assert found["wide"] <= 360
    assert found["buttons"] > 10
    assert found["worst"] >= 4.5, found
    assert found["small"] == 0
    assert found["ticked"].startswith("1 of ")
    assert found["view"]
    assert found["focus"] == "shut"
    assert found["large"] > 1.9 * found["width"]
    assert "Harbor Otter" in found["name"]


@needs_browser
def test_a_page_that_asks_for_something_is_noticed(page, tmp_path):
    """The test above would see it: a planted picture from elsewhere is refused by the policy, and that is spoken of."""
    _, spoken = probed(page.replace("<main>", '<main><img alt="x" src="https://example.invalid/x.png">', 1), tmp_path, 360)
    assert any("Content Security Policy" in line for line in spoken)


def test_hostile_words_reach_no_page(understood):
    """What a designer typed is text here too, in attributes as well."""
    nasty = '"><script>alert(1)</script><img src=x onerror=alert(2)>'
    text = made(understood, title=nasty, designer=nasty, subtitle=nasty)
    assert text.count("<script") == 1
    assert "<img src=x" not in text
    assert not [attrs for _, attrs in Parsed(text).found if any(name.startswith("on") for name in attrs)]
