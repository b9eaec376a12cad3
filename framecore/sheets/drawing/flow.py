"""Tables, bars and notes that flow down columns and on to further pages; nothing is cut off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from framecore.sheets.drawing.model import Line, Primitive, Text
from framecore.sheets.drawing.pens import text_width
from framecore.words import Said, as_made, say

Draw = Callable[[float, float, float], tuple[Primitive, ...]]  # left, top, width
PAD = 1.4


@dataclass(slots=True)
class Flow:
    """Columns to be filled from the top, page after page.

    ``columns``: (left, bottom, width, top) of each column of a page; ``pages`` collects primitives; ``later`` the columns of
    every page after the first, where they are others.
    """

    columns: Sequence[tuple[float, float, float, float]]
    pages: list[list[Primitive]] = field(default_factory=lambda: [[]])
    column: int = 0
    y: float = 0.0
    later: Sequence[tuple[float, float, float, float]] = ()
    close: float = 1.0  # share of the usual room between lines, rows and blocks

    def __post_init__(self) -> None:
        self.y = self.columns[0][3]

    @property
    def width(self) -> float:
        """Width of the columns, mm."""
        return self.columns[self.column][2]

    def room(self) -> float:
        """Height left in this column, mm."""
        return self.y - self.columns[self.column][1]

    def high(self) -> float:
        """Height of this column, mm."""
        return self.columns[self.column][3] - self.columns[self.column][1]

    def next_column(self) -> None:
        """Go on at the top of the next column or page."""
        self.column += 1
        if self.column == len(self.columns):
            self.column = 0
            self.pages.append([])
            self.columns = self.later or self.columns
        self.y = self.columns[self.column][3]

    def put(self, height: float, draw: Draw, *, keep: float = 0.0) -> None:
        """Draw a block of ``height``; ``keep`` more must fit below it (a heading stays with its table)."""
        if self.room() < height + keep and self.y < self.columns[self.column][3]:
            self.next_column()
        left, _, width, _ = self.columns[self.column]
        self.pages[-1].extend(draw(left, self.y, width))
        self.y -= height

    def gap(self, height: float) -> None:
        """Leave room, not at the top of a column."""
        if self.y < self.columns[self.column][3]:
            self.y -= height * self.close

    def heading(self, text: str, keep: float = 12.0) -> None:
        """Put a heading that stays with what follows."""
        self.gap(5.0)
        rows = wrap(text, self.width, 3.5, True)
        for n, row in enumerate(rows):
            more = keep + 6.0 * (len(rows) - 1 - n)

            def draw(x: float, y: float, w: float, row: str = row) -> tuple[Primitive, ...]:
                return (Text(at=(x, y - 4.0), text=row, height=3.5, bold=True),)

            self.put(6.0, draw, keep=more)

    def note(self, text: str, height: float = 2.5, bold: bool = False) -> None:
        """Put one paragraph."""
        # The next column may have another width, so the paragraph goes there whole before it is broken.
        down = height * 1.75 * self.close
        if self.room() < down * len(wrap(text, self.width - 4.0, height, bold)):
            self.next_column()
        for n, row in enumerate(wrap(text, self.width - 4.0, height, bold)):
            lead = "– " if n == 0 else ""
            at = 0.0 if n == 0 else 3.0

            def draw(
                x: float, y: float, w: float, row: str = row, lead: str = lead, at: float = at
            ) -> tuple[Primitive, ...]:
                return (Text(at=(x + at, y - height - 0.6), text=lead + row, height=height, bold=bold),)

            self.put(down, draw)

    def line(self, text: str, height: float, *, indent: float = 0.0, bold: bool = False, keep: float = 0.0) -> None:
        """Put one statement on its own lines, set in by ``indent``; it may break over a column."""
        for n, row in enumerate(wrap(text, self.width - indent - 4.0, height, bold)):

            more = indent + (0.0 if n == 0 else 3.0)

            def draw(x: float, y: float, w: float, row: str = row, more: float = more) -> tuple[Primitive, ...]:
                return (Text(at=(x + more, y - height - 0.5), text=row, height=height, bold=bold),)

            self.put(height * 1.6, draw, keep=keep)

    def table(
        self, heads: Sequence[str], rows: Sequence[Sequence[str]], align: str, height: float = 2.5
    ) -> None:
        """Put a table; ``align`` one of l, c, r a column. The widest columns wrap where need be."""
        widths = _widths(heads, rows, self.width, height)
        self._row(heads, widths, "l" * len(heads), height, True)
        wide = self.width
        for row in rows:
            cells = [wrap(c, w - 2 * PAD, height) for c, w in zip(row, widths, strict=True)]
            if self.room() < _high(cells, height) * self.close:
                self.next_column()
                if self.width != wide:
                    wide, widths = self.width, _widths(heads, rows, self.width, height)
                    cells = [wrap(c, w - 2 * PAD, height) for c, w in zip(row, widths, strict=True)]
                self._row(heads, widths, "l" * len(heads), height, True)
            self._cells(cells, widths, align, height, False)

    def _row(
        self, row: Sequence[str], widths: Sequence[float], align: str, height: float, bold: bool
    ) -> None:
        cells = [wrap(c, w - 2 * PAD, height, bold) for c, w in zip(row, widths, strict=True)]
        self._cells(cells, widths, align, height, bold)

    def _cells(
        self, cells: list[list[str]], widths: Sequence[float], align: str, height: float, bold: bool
    ) -> None:
        high = _high(cells, height) * self.close

        def draw(x: float, y: float, _: float) -> tuple[Primitive, ...]:
            out: list[Primitive] = []
            total = sum(widths)
            for lines, width, how in zip(cells, widths, align, strict=True):
                for n, line in enumerate(lines):
                    base = y - (PAD + height + n * height * 1.6) * self.close
                    at = x + width - PAD if how == "r" else x + width / 2 if how == "c" else x + PAD
                    side = {"r": "right", "c": "centre"}.get(how, "left")
                    if line:
                        out.append(Text(at=(at, base), text=line, height=height, align=side, bold=bold))
                x += width
            rule = "visible" if bold else "thin"
            out.append(Line(points=((x - total, y - high), (x, y - high)), layer=rule))
            return tuple(out)

        self.put(high, draw)


def _high(cells: Sequence[Sequence[str]], height: float) -> float:
    return max(len(c) for c in cells) * height * 1.6 - 0.6 * height + 2 * PAD


def wrap(text: str, width: float, height: float, bold: bool = False) -> list[str]:
    """Break at spaces so that every line fits ``width`` mm; a single longer word is broken too."""
    # In another language a line is marked as said; it is not said again where it is measured and drawn.
    part = str if as_made() else Said
    words = say(text).split()
    whole = part(" ".join(words))
    if not words or text_width(whole, height, bold) <= width:
        return [whole]
    lines: list[str] = []
    line: list[str] = []
    # Characters stand beside each other as wide as they are alone, so a line is as wide as its words and spaces.
    space, used = text_width(part(" "), height, bold), 0.0
    for plain in words:
        word = part(plain)
        wide = text_width(word, height, bold)
        if line and used + space + wide <= width:
            line.append(word)
            used += space + wide
            continue
        if line:
            lines.append(part(" ".join(line)))
        while wide > width and len(word) > 1:
            fits = (n for n in range(len(word) - 1, 1, -1) if text_width(part(word[:n]), height, bold) <= width)
            cut = next(fits, 1)
            lines.append(part(word[:cut]))
            word = part(word[cut:])
            wide = text_width(word, height, bold)
        line, used = [word], wide
    return [*lines, part(" ".join(line))]


def _widths(
    heads: Sequence[str], rows: Sequence[Sequence[str]], room: float, height: float
) -> list[float]:
    """Natural widths; the widest columns give way until the table fits."""
    wide = [
        max([text_width(h, height, True), *(text_width(r[i], height) for r in rows)]) + 2 * PAD + 0.2
        for i, h in enumerate(heads)
    ]
    while sum(wide) > room + 1e-6:
        # Equal widths part by rounding as they give way together.
        widest = [i for i, w in enumerate(wide) if w > max(wide) - 1e-6]
        below = [w for i, w in enumerate(wide) if i not in widest]
        excess = (sum(wide) - room) / len(widest)
        drop = min(excess, max(wide) - max(below)) if below else excess
        for i in widest:
            wide[i] -= drop
        if drop < 1e-9:
            break
    return wide
