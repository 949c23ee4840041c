"""Comes in: a chart's rounds in numbers. Goes out: the words for those who hear or search it; nothing is drawn or counted here."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawings.drawing import Drawing, Put, RoundLine
from booklet.pages import measures
from booklet.pages.wording import Words

# A reader listens to this in one go. Longer charts are told by their first and last rounds, which frame the rest.
MOST_LINES = 40


def title(drawing: Drawing, part: str, words: Words) -> str:
    """For example "Chart of the Nut, Rnds 1–9"."""
    return words.join("comma", (words.text("chart", part=part), stretch(drawing, words), tile(drawing, words)))


def stretch(drawing: Drawing, words: Words) -> str:
    """Its rounds by their printed numbers, which need not begin at 1; "" where it has none."""
    if not drawing.lines:
        return ""
    kind = "rows" if drawing.way == "row" else "rounds"
    first, last = _ends(drawing.lines[0].label)[0], _ends(drawing.lines[-1].label)[-1]
    key = f"stretch.{kind}" if first != last else f"stretch.{kind}.single"
    return words.text(key, first=first, last=last)


def tile(drawing: Drawing, words: Words) -> str:
    """Which sheet of a divided chart this is; "" for a whole one."""
    if drawing.tile is None:
        return ""
    return words.text("chart_sheet", name=drawing.tile.name, n=drawing.tile.columns * drawing.tile.rows)


def reading(form: str, words: Words) -> str:
    """How charts of a form are read."""
    usual = words.optional(f"chart_form.{form}")
    return words.optional(f"chart_form.{form}.left", usual) if words.left_handed else usual


def alternative(drawing: Drawing, part: str, words: Words) -> str:
    """The whole chart in words: what it is, how it is read, and every round with its stitches."""
    lines = list(drawing.lines)
    told = [line(one, words) for one in lines]
    if len(lines) > MOST_LINES:
        half = MOST_LINES // 2
        told = [*told[:half], words.text("told.between", n=len(lines) - 2 * half), *told[-half:]]
    head = title(drawing, part, words) + words.text("stop")
    return " ".join(text for text in (head, reading(drawing.form, words), *told) if text)


def line(one: RoundLine, words: Words) -> str:
    """For example "Rnd 3: 18 stitches, 6 more."."""
    ends = _ends(one.label)
    kind = "rows" if one.way == "row" else "rounds"
    where = words.text(f"stretch.{kind}" if len(ends) > 1 else f"stretch.{kind}.single", first=ends[0], last=ends[-1])
    key = "told.first" if one.first == 1 else "told.more" if one.change > 0 else "told.fewer" if one.change < 0 else "told.same"
    return words.text(key, where=where, stitches=words.plural("stitches_of", one.total), n=abs(one.change))


def views(words: Words) -> tuple[str, str]:
    """What stands below the two views of a placement drawing."""
    return words.text("view_front"), words.text("view_side")


def stage(labels: Sequence[str], step: tuple[int, int], width_mm: float, words: Words) -> tuple[str, str]:
    """Which rounds a step of a progress outline takes, and how wide the last one is."""
    first, last = labels[step[0]], labels[step[1]]
    key = "stretch.rounds" if first != last else "stretch.rounds.single"
    return words.text(key, first=first, last=last), measures.length(width_mm, words.style)


def width(mm: float, words: Words) -> str:
    """What stands below the outline of a whole part."""
    return measures.length(mm, words.style)


def progress(drawing: Drawing, part: str, words: Words) -> str:
    """A progress outline in words: every step with its width."""
    widths = [label.text for label in drawing.labels if label.role == "width"]
    rounds = [label.text for label in drawing.labels if label.role == "round"]
    steps = [words.text("told.stage", where=where, width=width) for where, width in zip(rounds, widths, strict=True)]
    return " ".join((words.text("progress_alt", part=part), *steps))


def placement(part: str, labels: Sequence[str], put: Sequence[Put], words: Words) -> str:
    """A placement drawing in words: what sits where, in the order of the assembly."""
    told = []
    for one in put:
        key = "told.between" if one.between else "stretch.rounds" if one.first != one.last else "stretch.rounds.single"
        where = words.text(key.replace("told.between", "told.put_between"), first=labels[one.first], last=labels[one.last])
        if one.apart is not None:
            where = words.join("comma", (where, words.text("told.apart", stitches=words.plural("stitches_of", one.apart))))
        name = one.what if words.same else ""
        told.append(words.text("told.put", what=" ".join(text for text in (one.number, name) if text), where=where))
    return " ".join((words.text("placement_alt", part=part), *told))


def table(drawing: Drawing, words: Words) -> tuple[tuple[str, str, str], ...]:
    """Rows of the table beside a chart: round, stitches, change with its sign."""
    return tuple((one.label, str(one.total), _change(one)) for one in drawing.lines)


def _change(one: RoundLine) -> str:
    if one.first == 1 or one.change == 0:
        return "" if one.first == 1 else "0"
    return f"+{one.change}" if one.change > 0 else f"−{-one.change}"


def _ends(label: str) -> list[str]:
    """The first and last number of a label: "4–7" gives 4 and 7."""
    return label.replace("-", "–").split("–")
