"""Whole pattern files against the product vectors of the rules: kinds of piece, ages, markets, parts, cords, balls, kits.

Outside checks: 16 CFR 1500.19, 1500.51-53, 1501.2-4; 15 U.S.C. 1278; ASTM F963 4.9, 4.14 (as summarised by makers' guides);
Directive 2009/48/EC Annex V, EN 71-1 clauses 5.4 and 8 (authorities' guides); SOR/2011-17. What is a house rule says so.
"""

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import severity

BALL = """
## {name} (make 1)
With A. Worked in a spiral.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnd 5: (3 sc, inc) x 6 (30)
Rnds 6-9: sc around (30)
{stuff}
Rnd 10: (3 sc, dec) x 6 (24)
Rnd 11: (2 sc, dec) x 6 (18)
Rnd 12: (sc, dec) x 6 (12)
Rnd 13: dec x 6 (6)
Close the hole.
"""


def understood(head, *notions, body="", name="Body", stuff="Stuff firmly."):
    lines = "".join(f"  - {notion}\n" for notion in notions)
    listed = f"notions:\n{lines}" if notions else ""
    text = f"---\ntitle: Nimbus\ngauge: 15 sc x 15 rnds = 10 cm\nyarns:\n  A: cotton\n{head}\n{listed}---\n" + (
        body or BALL.format(name=name, stuff=stuff)
    )
    return pipeline.understand(text.encode(), "nimbus.md")


def safety(*args, **more):
    return understood(*args, **more).figures.safety


def rules(found, market=None):
    return {note.rule: note for note in found.notes if market is None or note.market in ("", market)}


BEAR = "made as: cuddly toy\ntoy-age: {}\nmarkets: {}"
EYES = "safety eyes: {shape: mushroom, diameter: 12 mm, length: 15 mm, count: 2, attached: locked}"


def test_p1_cuddly_bear_from_birth_without_small_parts():
    found = safety(BEAR.format("0+", "EU"), "stuffing", "embroidery thread")
    assert rules(found)["R21"].severity == "note"
    assert not [note for note in found.notes if note.wording]
    assert {note.severity for note in found.notes} == {"note"}


def test_p2_cuddly_bear_with_locked_eyes_from_three_in_europe():
    found = safety(BEAR.format("3+", "EU"), "stuffing", EYES)
    note = rules(found)["R06"]
    assert (note.code, note.severity, note.level) == ("counts-as-under-three", "error", "block")
    assert found.notes[0] == note  # listed first
    assert not [note for note in found.notes if note.wording]  # the 36-month text must not be printed
    assert found.age is None
    assert (found.ages[0].declared, found.ages[0].counts_as) == (36, 0)


def test_p3_the_same_bear_in_the_united_states():
    found = rules(safety(BEAR.format("3+", "US"), "stuffing", EYES))
    assert "R03" not in found  # nothing is loose
    assert (found["R04a"].severity, found["R04a"].wording) == ("note", None)
    warned = next(note for note in safety(BEAR.format("3+", "US"), EYES).notes if note.code == "may-count-as-under-three")
    assert warned.severity == "warning"
    for note, torque in ((warned, "3 in·lbf"), (found["R04a"], "4 in·lbf")):
        values = dict(dict(note.more)["twist-pull"])
        assert values["torque"].startswith(torque)
        assert values["pull"].startswith("15 lbf (66.7 N)")


def test_p4_kit_for_adults():
    found = safety(
        "made as: cuddly toy\nmaker-age: 14\nmarkets: US, EU",
        EYES,
        "darning needle: {shape: rod, diameter: 1.5 mm, length: 55 mm}",
        "plastic bag: {width: 200 mm, height: 300 mm}",
    )
    note = rules(found)["R07"]
    assert note.severity == "note"
    assert {"safety eyes", "darning needle"} <= set(note.names)
    assert "once it is given to a child, is a toy" in note.text
    assert "R19" in rules(found)
    assert not [one for one in found.notes if one.wording in ("US-SP", "EU-SP")]
    assert found.kit


def test_p5_kit_for_children_from_eight():
    found = safety("made as: cuddly toy\nmaker-age: 8\nmarkets: EU", EYES)
    pack = next(note for note in found.notes if note.wording == "EU-SP")
    assert pack.rule == "R04"
    assert any(note.code == "counts-as-under-three" for note in found.notes)  # the finished toy is judged as well


def test_p6_kit_for_children_of_four():
    buttons = "buttons: {shape: disc, diameter: 15 mm, height: 3 mm, count: 4, attached: loose}"
    found = rules(safety("made as: toy\nmaker-age: 4\nmarkets: US", buttons))
    assert found["R03"].wording == "US-SP"
    found = rules(safety("made as: toy\nmaker-age: 4\nmarkets: US", buttons, "sewing needle"))
    assert (found["R17"].code, found["R17"].severity) == ("sharp-in-kit", "warning")
    assert rules(safety("made as: toy\nmaker-age: 3\nmarkets: US", "sewing needle"))["R17"].severity == "error"
    assert rules(safety("made as: toy\nmaker-age: 9\nmarkets: US", "sewing needle"))["R17"].severity == "note"


@pytest.mark.parametrize(
    ("size", "age", "rule", "wording", "level"),
    [("40 mm", "3+", "R09", "US-SB-IS", "note"), ("40 mm", "18 months", "R08", None, "error"), ("50 mm", "3+", "", None, ""),
     ("48 mm", "3+", "R09", "US-SB-IS", "note")],
)  # fmt: skip
def test_p7_to_p10_crocheted_balls(size, age, rule, wording, level):
    # 16 CFR 1500.19(a): a ball that passes a hole of 1.75 in; 10 % of doubt for a crocheted one is a house rule.
    head = f"made as: toy\ntoy-age: {age}\nmarkets: US".replace("title", "")
    text = f"---\ntitle: Play Ball\n{head}\nnotions:\n  - crochet ball: {{shape: sphere, diameter: {size}}}\n---\n"
    found = rules(pipeline.understand(text.encode(), "ball.md").figures.safety)
    hit = {name: note for name, note in found.items() if name in ("R08", "R09")}
    assert set(hit) == ({rule} if rule else set())
    if rule:
        assert (hit[rule].wording, hit[rule].severity) == (wording, level)


def test_a_ball_that_is_the_pattern_itself():
    # Rounds of 30 stitches 6.67 mm wide are 60 mm across: no small ball. With a finer gauge it is one.
    head = "made as: toy\ntoy-age: 3+\nmarkets: US"
    assert "R09" not in rules(safety(head, "stuffing", name="Ball"))
    fine = understood(head + "\nfinished size: 4 cm", "stuffing", name="Ball")
    assert fine.figures.safety.components[-1].hazard == "ball"
    text = "---\ntitle: Play Ball\ngauge: 27 sc x 27 rnds = 10 cm\nyarns:\n  A: cotton\n" + head + "\nnotions:\n  - stuffing\n---\n"
    small = pipeline.understand((text + BALL.format(name="Ball", stuff="Stuff.")).encode(), "ball.md").figures.safety
    assert rules(small)["R09"].wording == "US-SB-IS"


def test_p11_scarf_from_birth():
    scarf = "scarf: {length: 250 mm, attached: sewn}"
    found = rules(safety("made as: toy\ntoy-age: 0+\nmarkets: EU", scarf))
    assert (found["R11"].severity, found["R11"].limit.value) == ("error", 220)
    assert "R11" not in rules(safety("made as: toy\ntoy-age: 0+\nmarkets: US", scarf))


def test_p12_ties_from_eighteen_months():
    found = rules(safety("made as: toy\ntoy-age: 18 months\nmarkets: EU", "tie: {length: 250 mm, attached: sewn}"))
    assert "R11" not in found
    assert (found["R12"].severity, found["R12"].text) == ("warning", "Warning. Long cord. Strangulation hazard.")


def test_p13_tail_at_twelve_months():
    for length, hit in ((310, True), (300, True), (299, False)):  # "less than 12 in"
        tail = f"tail: {{length: {length} mm, attached: sewn}}"
        found = rules(safety("made as: toy\ntoy-age: 12 months\nmarkets: US", tail))
        assert ("R11" in found) == hit


@pytest.mark.parametrize(("round", "hit"), [(380, False), (381, True)])
def test_p14_loops(round, hit):
    loop = f"hanging loop: {{length: {round} mm, attached: sewn}}"
    assert ("R13" in rules(safety("made as: toy\ntoy-age: 2+\nmarkets: EU", loop))) == hit


def test_p15_thin_cords():
    cord = "cord: {{length: 100 mm, diameter: {} mm, attached: sewn}}"
    assert rules(safety("made as: toy\ntoy-age: 0+\nmarkets: EU", cord.format("1.2")))["R14"].severity == "error"
    assert "R14" not in rules(safety("made as: toy\ntoy-age: 0+\nmarkets: EU", cord.format("1.5")))


@pytest.mark.parametrize(("size", "pull"), [("6.0", "50 N"), ("6.1", "90 N")])
def test_p16_pull_by_the_largest_size(size, pull):
    eyes = f"safety eyes: {{shape: mushroom, diameter: {size} mm, length: 8 mm, attached: locked}}"
    note = rules(safety("made as: toy\ntoy-age: 3+\nmarkets: EU", eyes))["R04a"]
    assert dict(dict(note.more)["twist-pull"])["pull"] == pull


def test_p17_the_washer_of_a_large_eye():
    eyes = "safety eyes: {shape: mushroom, diameter: 40 mm, length: 20 mm, attached: locked}"
    washer = "washers: {shape: washer, diameter: 24 mm, height: 3 mm, attached: enclosed}"
    found = safety("made as: toy\ntoy-age: 0+\nmarkets: EU", eyes, washer)
    parts = {part.name: part for part in found.components}
    assert parts["washers"].verdict == "small"
    assert parts["safety eyes"].basis == "washer"  # counted with it even where it is not listed
    assert "washers" in rules(found)["R02"].names


def test_p18_magnets():
    note = rules(safety("made as: toy\ntoy-age: 8+\nmarkets: US, EU", "magnet: {shape: disc, diameter: 8 mm, height: 3 mm}"))["R15"]
    assert note.severity == "error"


def test_p19_and_p20_bags():
    def bag(width, market, height=250):
        notion = f"plastic bag: {{width: {width} mm, height: {height} mm}}"
        return [note for note in safety(f"made as: decoration\nmaker-age: 14\nmarkets: {market}", notion).notes if note.rule == "R19"]

    (told,) = [note for note in bag(178, "CA") if note.wording]
    assert told.wording == "CA-BAG"
    assert told.limit.value == 0.019
    assert not [note for note in bag(177, "CA") if note.wording]
    assert not [note for note in bag(90, "US", 120) if note.limit is not None]
    assert [note.limit.value for note in bag(178, "US") if note.limit is not None] == [0.038]


def test_p22_thirty_six_months_exactly():
    for market in ("US", "EU"):
        found = rules(safety(f"made as: toy\ntoy-age: 36 months\nmarkets: {market}", EYES))
        assert not {"R01", "R02"} & set(found)
    for market in ("AU", "NZ"):
        found = rules(safety(f"made as: toy\ntoy-age: 36 months\nmarkets: {market}", EYES))
        assert found["R02"].code == "small-parts-at-three"


def test_p23_seventy_two_months_exactly():
    loose = "buttons: {shape: disc, diameter: 15 mm, height: 3 mm, attached: loose}"
    assert "R05" in rules(safety("made as: toy\ntoy-age: 72 months\nmarkets: US", loose))
    assert "R03" in rules(safety("made as: toy\ntoy-age: 71 months\nmarkets: US", loose))


def test_p24_pompoms():
    found = rules(safety("made as: toy\ntoy-age: 0+\nmarkets: AU", "pompom: {shape: sphere, diameter: 28 mm, attached: sewn}"))
    assert found["R24"].severity == "warning"
    body = BALL.format(name="Body", stuff="Make a pompon of 28 mm.")
    assert "R24" in rules(safety("made as: toy\ntoy-age: 0+\nmarkets: AU", "stuffing", body=body))


def test_p25_nothing_listed():
    found = rules(safety("made as: toy\ntoy-age: 0+\nmarkets: US"))
    assert (found["R26"].code, found["R26"].severity) == ("no-safety-data", "warning")


def test_crocheted_parts_that_are_separate_or_sewn_on():
    ear = "\n## Ear (make 2)\nRnd 1: 5 sc in MR (5)\nRnd 2: inc x 5 (10)\nRnd 3: sc around (10)\n"
    hat = "\n## Hat\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: sc around (12)\n"
    body = BALL.format(name="Body", stuff="Stuff.") + ear + hat + "\n## Assembly\n1. Sew the Ears to the Body, over Rnds 3 to 5.\n"
    found = safety("made as: toy\ntoy-age: 12 months\nmarkets: EU", "stuffing", body=body)
    parts = {part.name: part for part in found.components}
    assert (parts["Ear"].attached, parts["Ear"].verdict, parts["Ear"].made) == ("sewn", "small", "crochet")
    assert (parts["Hat"].attached, parts["Hat"].verdict) == ("loose", "small")
    assert parts["Nimbus"].verdict == "clear"  # the piece itself
    assert rules(found)["R01"].names == ("Hat",)  # sewn-on crochet alone blocks nothing
    assert rules(found)["H02"].names == ("Ear",)


def test_legs_that_the_body_grows_out_of_cannot_come_off():
    leg = "\n## Leg (make 2: second not fastened off)\nWorked in a spiral.\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: sc around (12)\n"
    body = "\n## Body\nWorked in a spiral.\nRnd 4: 12 sc on first leg, 12 sc on second leg (24)\nRnds 5-20: sc around (24)\n"
    found = safety("made as: toy\ntoy-age: 3+\nmarkets: EU", "stuffing", body=leg + body)
    assert "Leg" not in [part.name for part in found.components]


def test_chains_that_hang_are_ties_and_loops():
    tie = "\n## Tie\nWith A.\nCh 60.\nFasten off.\n\n## Assembly\n1. Sew the Tie to the Body.\n"
    found = safety("made as: toy\ntoy-age: 12 months\nmarkets: EU", "stuffing", body=BALL.format(name="Body", stuff="Stuff.") + tie)
    (cord,) = found.cords
    assert cord.length_mm == pytest.approx(60 * 100 / 15)
    assert rules(found)["R11"].names == ("Tie",)
    looped = "\n## Mouse\nWorked in a spiral.\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: 6 sc, ch 70, 6 sc (12)\n"
    found = safety("made as: toy\ntoy-age: 12 months\nmarkets: EU", "stuffing", body=looped)
    assert [cord.way for cord in found.cords] == ["loop"]
    assert "R13" in rules(found)


def test_the_way_out_is_told_where_the_pattern_offers_it():
    eyes = "safety eyes: {diameter: 12 mm, count: 2, only for: eyes safety}"
    stuff = (
        "\nEither (eyes: safety): Place the safety eyes between Rnds 5 and 6, 5 sts between them.\n"
        "Or (eyes: embroidered): Embroider the eyes between Rnds 5 and 6, 5 sts between them.\n"
    )
    whole = understood(BEAR.format("3+", "EU"), "stuffing", eyes, stuff=stuff)
    (note,) = [note for note in whole.figures.safety.notes if note.code == "counts-as-under-three"]
    assert dict(note.more)["way-out"] == (("choice", "eyes: embroidered"), ("names", "safety eyes"))
    other = whole.variant_figures[0].safety
    assert not [note for note in other.notes if note.code == "counts-as-under-three"]
    assert [note.code for note in other.notes if note.rule == "R06"] == ["soft-toy-age"]


def test_findings_name_line_and_component():
    found = understood(BEAR.format("3+", "EU"), "stuffing", EYES)
    problem = next(problem for problem in found.problems if problem.code == "counts-as-under-three")
    assert severity(problem) == "error"
    assert found.source.text.splitlines()[problem.span.line - 1].strip().startswith("- safety eyes")


def test_household_pieces_without_components_are_no_finding():
    assert safety("made as: household\nmarkets: US, EU", "yarn needle").notes == ()
    assert safety("made as: household\nmarkets: US, EU", "yarn needle").components == ()


def test_unknown_notions_are_asked_for():
    found = rules(safety("made as: toy\ntoy-age: 3+\nmarkets: EU", "stuffing", "2 zibbits"))
    assert (found["H05"].severity, found["H05"].names) == ("warning", ("zibbits",))
    told = "zibbits: {shape: sphere, diameter: 60 mm, count: 2}"
    assert "H05" not in rules(safety("made as: toy\ntoy-age: 3+\nmarkets: EU", "stuffing", told))


def test_soft_parts_may_be_pressed_in_canada():
    # SOR/2011-17 schedule 1: a part counts if it goes in with 4.45 N. Four fifths of its size is a house rule.
    pompom = "pompom: {shape: sphere, diameter: 38 mm, attached: loose}"
    assert safety("made as: toy\ntoy-age: 3+\nmarkets: CA", pompom).components[0].verdict == "clear"
    assert "small-parts" in [note.code for note in safety("made as: toy\ntoy-age: 3+\nmarkets: CA", pompom).notes]
    assert "small-parts" not in [note.code for note in safety("made as: toy\ntoy-age: 3+\nmarkets: US", pompom).notes]
