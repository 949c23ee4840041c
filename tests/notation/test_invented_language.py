"""A language that nobody speaks, added as a folder of tables: it reads and writes rounds, and no Python knows it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from booklet.notation.lex import lexicon
from booklet.notation.read import read_line
from booklet.notation.write import write
from booklet.resources import folder
from booklet.source.tree import Piece
from booklet.tables import language as languages
from booklet.tables import lineage
from booklet.tables.stitches import stitches
from tests.notation.test_language_tables import LINES, YARNS, meaning, read

TAG = "qaa-x-loop"  # qaa: ISO 639 keeps it for private use
NOTATION = """
header\tround\tRen | Rena
header\trow\tVol | Vola
next_header\tround\tNuren
number\t1\tun
number\t2\tbu
times\t\tgo
once\t2\tbugo
ordinal\t1\tunda
ordinal\t2\tbuda
ordinal_mark\t\tda
range\t\tto
around\t\tfulu
repeat\t\tripi
from\t\tdis
from_star\t\tdis *
more\t\tplu
to_last\t\tgis
in\t\tni
each\t\tcha
next\t\tsok
last\t\tfin
same\t\tidem
stitch\t\tm
the\t\tlo
and\t\tet
hook\t\tdis kroko
other_side\t\tali sid
on_bridge\t\tsur ponto
on_bridge_other\t\tsub ponto
ring\t\tomo
loop\tfront\tfora
loop\tback\tbaka
join\t\tklozu
with\t\tkun
turn\t\tturnu
counts\tyes\tvalu m
counts\tno\tne valu m
change\t\tnova
through_both\t\ttra bu felo
part\tfirst\tsur unda
part\tsecond\tsur buda
"""
STITCHES = """
chain\tli\tlino\tlinoj
slip_stitch\tgli\tglito\tglitoj
skip\tpas\tpaso\tpasoj
single_crochet\tka\tkapo\tkapoj
half_double_crochet\thaka\thakapo\thakapoj
double_crochet\tdaka\tdakapo\tdakapoj
treble_crochet\ttaka\ttakapo\ttakapoj
bobble\tbul\tbulo\tbuloj
increase\tkro\tkroso\tkrosoj
decrease\tmal\tmalkroso\tmalkrosoj
invisible_decrease\tkasmal\tkasmalkroso\tkasmalkrosoj
sc2tog\tkabu\tkabuno\tkabunoj
sc3tog\tkatri\tkatrino\tkatrinoj
"""
WRITING = """
label_round\tRen {n}
label_rounds\tRena {n}
label_row\tVol {n}
label_rows\tVola {n}
label_end\t:
range\t{a}–{b}
list_and\t et\x20
total\t({n})
separator\t,\x20
stitch\t{st}
n_stitch\t{n} {st}
n_chain\t{n} li
n_skip\t{n} pas
in_next\t{n} {st} ni sok m
in_next_1\t{st} ni sok {places} m
in_next_n\t{n} {st} ni cha lo sok {places} m
around\t{st} ni cha m
around_n\t{n} {st} ni cha m
around_chain\t{st} ni cha li
around_chain_n\t{n} {st} ni cha li
ring\t{n} {st} ni omo
chain\t{st} ni {nth} li dis kroko
chain_n\t{n} {st} ni {nth} li dis kroko
chain_end\t{st} ni fin li
chain_end_n\t{n} {st} ni fin li
last\t{st} ni fin m
last_n\t{n} {st} ni fin m
first\t{st} ni unda m
first_n\t{n} {st} ni unda m
same\t{st} ni idem m
same_n\t{n} {st} ni idem m
part\t{n} {st} sur {nth} {part}
part_all\t{st} sur {nth} {part}
part_plain\t{n} {st} ni {part}
bridge\t{n} {st} sur ponto
bridge_other\t{n} {st} sub ponto
both_layers\t{n} {st} tra bu felo
in_loop\t{words} {loop}
loop_front\tfora
loop_back\tbaka
line_loop\t{loop}:
group\t({items}) go {n}
group_around\t({items}) fulu
group_leave\t({items}) gis {n} m
start_chain\t{n} li
start_chain_yes\t{n} li (valu m)
start_chain_no\t{n} li (ne valu m)
join\tklozu ni unda m
turn\tturnu
yarn\tnova {yarn}
yarn_first\tkun {yarn}
other_side\tali sid:
chain_from\tdis {nth} li dis kroko:
ordinal_1\tunda
ordinal_2\tbuda
ordinal_3\ttrida
ordinal_4\tkvarda
nth_1\tunda
nth_2\t2da
"""


@pytest.fixture
def invented(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[languages.Language]:
    """The language, from a copy of shared/ that has one folder more."""
    shared = tmp_path / "shared"
    own = shared / "languages" / TAG
    own.mkdir(parents=True)
    real = folder("shared")
    for path in real.iterdir():
        if path.name != "languages":
            (shared / path.name).symlink_to(path)
    for path in (real / "languages").iterdir():
        (shared / "languages" / path.name).symlink_to(path)
    tables = {
        "settings.tsv": "name\tLoop speech\ndecimal\t,\n",
        "notation.tsv": f"role\tvalue\tforms\n{NOTATION.strip()}\n",
        "stitches.tsv": f"id\tabbr\tterm\tplural\tforms\n{STITCHES.strip()}\n",
        "writing.tsv": f"{WRITING.strip(chr(10))}\n",
        "sentences.tsv": "id\tvalues\twording\nstuff\tamount=firm\tPleno forta\n",
    }
    for name, text in tables.items():
        (own / name).write_text(text, "utf-8")
    caches = (languages.tags, languages.load, languages.variants, lineage.lineage, lineage.holder)
    for cache in caches:
        cache.cache_clear()
    for module in ("language", "lineage", "reader"):
        monkeypatch.setattr(f"booklet.tables.{module}.folder", lambda name: tmp_path / name)
    yield languages.load(TAG)
    for cache in caches:
        cache.cache_clear()


def test_its_folder_is_enough_to_be_a_language(invented: languages.Language) -> None:
    assert TAG in languages.tags()
    assert invented.name == "Loop speech"
    assert invented.names["single_crochet"].abbr == "ka"
    assert set(invented.names) <= set(stitches())


def test_it_reads_rounds(invented: languages.Language) -> None:
    words = lexicon(invented, YARNS)
    lines = {
        "Ren 1: 6 ka ni omo (6)": "Rnd 1: 6 sc in MR (6)",
        "2. 6 kro (12)": "2. 6 inc (12)",
        "Ren 3: *ka, kro* go 6 (18)": "Rnd 3: *sc, inc* x 6 (18)",
        "4. ren: *2 ka, kro, ripi dis * fulu (24)": "4. rnd: *2 sc, inc, rep from * around (24)",
        "Ren 5 to 9: ka ni cha m = 24": "Rnd 5 to 9: sc in each st = 24",
        "Ren 10: *2 ka, mal; ripi dis * 5 plu go (18)": "Rnd 10: *2 sc, dec; rep from * 5 more times (18)",
        "Vol 2: 1 li, turnu, 7 ka (7)": "Row 2: ch 1, turn, 7 sc (7)",
    }
    home = languages.load("en-US")
    for line, english in lines.items():
        found = read_line((Piece(line, 1, 1),), words)
        assert found.readings, (line, found.expected)
        assert meaning(found.readings[0]) == meaning(read(english, home)), line


@pytest.mark.parametrize("text", LINES[:21])  # what needs no more than the forms above
def test_it_writes_what_english_says_and_reads_it_back(invented: languages.Language, text: str) -> None:
    meant = read(text, languages.load("en-US"))
    written = write(meant, invented)
    assert meaning(read(written, invented)) == meaning(meant), written
    assert not {"Rnd", "Rnds", "Row", "sc", "inc", "ch", "in", "each"} & set(re.findall(r"\w+", written))
