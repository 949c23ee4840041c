"""Hand-made parts for the drawing tests: words such as `6 sc, (sc, inc) x 6` in, a PartGraph out; no room of the product reads them."""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field

from booklet.graph.graph import FOREIGN, PartGraph, Place


@dataclass
class Maker:
    """Builds a PartGraph place by place."""

    name: str = "Part"
    worked: str = "spiral"
    kinds: list = field(default_factory=list)
    yarns: list = field(default_factory=list)
    kind: list = field(default_factory=list)
    yarn: list = field(default_factory=list)
    loop: list = field(default_factory=list)
    counts: list = field(default_factory=list)
    parents: list = field(default_factory=list)
    starts: list = field(default_factory=list)
    labels: list = field(default_factory=list)
    ways: list = field(default_factory=list)
    foreign: list = field(default_factory=list)
    last: list = field(default_factory=list)  # places that the next round stands in

    def add(self, kind, parents=(), yarn="A", loop=0, counts=1):
        for table, value in ((self.kinds, kind), (self.yarns, yarn)):
            if value not in table:
                table.append(value)
        self.kind.append(self.kinds.index(kind))
        self.yarn.append(self.yarns.index(yarn))
        self.loop.append(loop)
        self.counts.append(counts)
        self.parents.append(tuple(parents))
        return len(self.kind) - 1

    def begin(self, label, way):
        self.starts.append(len(self.kind))
        self.labels.append(label)
        self.ways.append(way)

    def ring(self):
        self.begin("", "start")
        self.last = [self.add("ring", counts=0)]
        return self

    def chain(self, count):
        self.begin("", "start")
        self.last = [self.add("chain", counts=0) for _ in range(count)]
        return self

    def nothing(self):
        self.begin("", "start")
        return self

    def round(self, words, yarn="A", loop=0, way="spiral", ring=False, chains=0, below=None):
        """`words`: one letter a stitch: s sc, h hdc, d dc, i inc (2 sc), w 3 sc, v sc2tog, 3 sc3tog, k skip, D dc inc, V dc2tog."""
        r = len(self.starts)
        self.begin(str(r), way)
        made = []
        below = list(self.last if below is None else below)
        for _ in range(chains):
            self.add("chain", counts=0, yarn=yarn)
        at = 0
        for letter in words:
            kind, uses, leaves = {
                "s": ("single_crochet", 1, 1), "h": ("half_double_crochet", 1, 1), "d": ("double_crochet", 1, 1),
                "t": ("treble_crochet", 1, 1), "i": ("single_crochet", 1, 2), "w": ("single_crochet", 1, 3),
                "v": ("sc2tog", 2, 1), "3": ("sc3tog", 3, 1), "k": ("", 1, 0),
                "D": ("double_crochet", 1, 2), "V": ("dc2tog", 2, 1), "b": ("bobble", 1, 1), "l": ("slip_stitch", 1, 1),
            }[letter]
            if ring:
                parents = (below[0],)
            else:
                parents = tuple(below[(at + k) % len(below)] for k in range(uses))
                at += uses
            made += [self.add(kind, parents, yarn, loop) for _ in range(leaves)]
        if way == "joined":
            self.add("slip_stitch", (made[0],), yarn, counts=0)
        self.last = made[::-1] if way.startswith("row") else made
        return self

    def graph(self):
        starts = [*self.starts, len(self.kind)]
        flat, offsets = [], [0]
        for parents in self.parents:
            flat += parents
            offsets.append(len(flat))
        return PartGraph(
            self.name, 1, self.worked, tuple(self.kinds), tuple(self.yarns), array("l", self.kind), array("l", self.yarn),
            array("b", self.loop), array("b", self.counts), array("l", starts), tuple(self.labels),
            array("l", [0] * len(self.labels)), tuple(self.ways), array("l", offsets), array("L", flat), tuple(self.foreign),
        )


def even(n, k):
    """k of 6 increases per round on n stitches, stacked: (m s, i) x 6."""
    return ("s" * (n // 6 - 1) + "i") * 6


def less(n):
    return ("s" * (n // 6 - 2) + "v") * 6


def disc(most=72, joined=False, name="Disc"):
    way = "joined" if joined else "spiral"
    maker = Maker(name, "joined" if joined else "spiral").ring()
    chains = 1 if joined else 0
    maker.round("s" * 6, ring=True, way=way, chains=chains)
    for n in range(6, most, 6):
        maker.round(even(n, 6), way=way, chains=chains)
    return maker


def ball(most=36, rounds=6, name="Ball"):
    maker = disc(most, name=name)
    for _ in range(rounds - 1):
        maker.round("s" * most)
    for n in range(most, 6, -6):
        maker.round(less(n))
    return maker


def oval(chains=7, rounds=7, name="Oval"):
    maker = Maker(name, "oval spiral").chain(chains)
    used = maker.last[:-1]  # the last chain only turns
    f = len(used)
    maker.begin("1", "spiral")
    first = [maker.add("single_crochet", (used[f - 1 - k],)) for k in range(f - 1)]
    first += [maker.add("single_crochet", (used[0],)) for _ in range(3)]
    first += [maker.add("single_crochet", (used[k],)) for k in range(1, f - 1)]
    first += [maker.add("single_crochet", (used[f - 1],)) for _ in range(2)]
    maker.last = first
    straight = f - 2
    for k in range(2, rounds + 1):
        run = "s" * (k - 2)
        maker.round((run + "i") + "s" * straight + (run + "i") * 3 + "s" * straight + (run + "i") * 2)
    return maker


def rows(width=8, count=6, name="Rows"):
    maker = Maker(name, "rows").chain(width + 1)
    maker.last = maker.last[:-1][::-1]
    for r in range(1, count + 1):
        maker.round("s" * width, way="row" if r % 2 else "row back", chains=1 if r > 1 else 0)
    return maker


def legs(name="Body"):
    """A body on two legs of 18 with 3 bridge chains on either side."""
    maker = Maker(name, "spiral").nothing()
    maker.foreign = [Place(0, instance, k) for instance in (1, 2) for k in range(18)]
    bridge = [maker.add("chain", counts=0) for _ in range(3)]
    below = [FOREIGN | k for k in range(18)] + bridge + [FOREIGN | (18 + k) for k in range(18)] + bridge[::-1]
    maker.round("s" * 42, below=below)
    for _ in range(3):
        maker.round("s" * 42)
    return maker


class Lace(Maker):
    """Rounds with chains between their stitches."""

    def lace(self, units, way="joined", chains=0, yarn="A", stands="", label=""):
        """`units`: pairs (letters, where): where is an index of a counted stitch below, ("space", number) or None.

        Letters: s sc, d dc, t tr, p popcorn, b bobble, l sl st; a digit is that many chains. `stands`: a chain counted as a stitch.
        """
        below, spaces = list(self.last), list(self.spaces) if hasattr(self, "spaces") else []
        self.begin(label or str(len(self.starts)), way)
        made, found, run = [], [], []
        for _ in range(chains):
            self.add("chain", counts=0, yarn=yarn)
        kinds = {"s": "single_crochet", "d": "double_crochet", "t": "treble_crochet", "p": "popcorn", "b": "bobble", "l": "slip_stitch"}
        for letters, where in units:
            parents = () if where is None else spaces[where[1]] if isinstance(where, tuple) else (below[where],)
            for letter in letters:
                if letter.isdigit():
                    run = [self.add("chain", counts=0, yarn=yarn) for _ in range(int(letter))]
                    found.append(tuple(run))
                else:
                    made.append(self.add(kinds[letter], parents, yarn))
        if way == "joined":
            self.add("slip_stitch", (made[0],), yarn, counts=0)
        self.last, self.spaces = made[::-1] if way.startswith("row") else made, found
        return self


def granny(rounds=4, name="Square"):
    """Groups of three dc in every space, (3 dc, ch 2, 3 dc) in the four corners, one chain between the groups of a side."""
    maker = Lace(name, "joined").ring()
    maker.lace([("ddd2", 0)] * 4, chains=3)
    for r in range(2, rounds + 1):
        units, space = [], 0
        for _ in range(4):
            units.append(("ddd2ddd1", ("space", space)))
            units += [("ddd1", ("space", space + k)) for k in range(1, r - 1)]
            space += r - 1
        maker.lace(units, chains=3)
    return maker


def doily(name="Doily"):
    """Twelve dc, arches of five chains over every second stitch, five dc in every arch, arches again."""
    maker = Lace(name, "joined").ring().round("d" * 12, ring=True, way="joined", chains=3)
    maker.lace([("s5", 2 * k) for k in range(6)], chains=1)
    maker.lace([("ddddd1", ("space", k)) for k in range(6)], chains=3)
    maker.lace([("s5", ("space", k)) for k in range(6)], chains=1)
    maker.lace([("s7", ("space", k)) for k in range(6)], chains=1)
    return maker


def flower(name="Flower"):
    """Popcorns with three chains between them, then petals in the arches."""
    maker = Lace(name, "joined").ring()
    maker.lace([("p3", 0)] * 6, chains=3)
    maker.lace([("sdddds", ("space", k)) for k in range(6)], chains=1)
    return maker


def mesh(name="Mesh"):
    """A chain and a double crochet in turn."""
    maker = Lace(name, "joined").ring().round("d" * 12, ring=True, way="joined", chains=3)
    maker.lace([("d1", k) for k in range(12)], chains=3)
    maker.lace([("d1", ("space", k)) for k in range(12)], chains=3)
    return maker.lace([("d2", k) for k in range(12)], chains=3)


def lace_rows(name="Lace rows"):
    """Rows of double crochet and arches of five chains."""
    maker = Lace(name, "rows").chain(13)
    maker.last = maker.last[::-1]
    maker.round("s" * 13, way="row")
    maker.lace([("s5", 0), ("s5", 4), ("s5", 8), ("s", 12)], way="row back", chains=1)
    return maker.lace([("ddd1", ("space", 2)), ("ddd1", ("space", 1)), ("ddd", ("space", 0))], way="row", chains=3)
