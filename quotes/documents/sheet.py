"""A paper sheet to draw on: lettering, rules, page breaks, and the title block of a shop drawing.

Sizes in points from the lower left corner; the cursor `y` runs down. No markup is ever read: text is
drawn as text.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Literal

import reportlab
from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from quotes.documents.lettering import drawable, in_reading_order, wrap
from sizing.wording import gettext as _

Paper = Literal["letter", "a4"]
SIZES: dict[Paper, tuple[float, float]] = {"letter": letter, "a4": A4}
MARGIN = 34.0
INNER = 10.0
LEFT = MARGIN + INNER
BLOCK_HIGH = 40.0
BOTTOM = MARGIN + BLOCK_HIGH + 8
INK, FAINT, HAIR, DOUBT, WASH = (
    (0.11, 0.14, 0.19), (0.31, 0.36, 0.40), (0.70, 0.72, 0.74), (0.48, 0.26, 0.0),
    (0.93, 0.95, 0.96),
)  # fmt: skip

Align = Literal["left", "right", "middle"]
# Where the common fonts lie; the one that ships with reportlab is always there.
_FONTS = [
    *((Path(folder) / "DejaVuSansCondensed.ttf", Path(folder) / "DejaVuSansCondensed-Bold.ttf")
      for folder in ("/usr/share/fonts/truetype/dejavu", "/usr/share/fonts/dejavu-sans-fonts",
                     "/usr/share/fonts/TTF")),
    tuple(Path(reportlab.__file__).parent / "fonts" / name for name in ("Vera.ttf", "VeraBd.ttf")),
]  # fmt: skip


@cache
def fonts() -> tuple[str, str, frozenset[int]]:
    """Names of the regular and bold font, and the code points that both can draw."""
    regular, bold = next(pair for pair in _FONTS if all(path.exists() for path in pair))
    faces = [TTFont("desk", str(regular)), TTFont("desk-bold", str(bold))]
    for face in faces:
        pdfmetrics.registerFont(face)
    known = [frozenset(face.face.charToGlyph) for face in faces]
    return "desk", "desk-bold", known[0] & known[1]


class _Pages(Canvas):
    """Keeps each page open until the count is known, so that the title block can say "2 of 5"."""

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self.kept: list[dict] = []

    def showPage(self) -> None:
        self.kept.append(dict(self.__dict__))
        self._startPage()


class Sheet:
    """Draws from the top down; `need(height)` begins a new page where there is no room.

    `right` and `top` are the edges of what may be drawn on; the left and lower ones are LEFT and BOTTOM.
    """

    def __init__(self, title: str, author: str, paper: Paper = "letter") -> None:
        self.out = BytesIO()
        self.width, self.height = SIZES[paper]
        self.right = self.width - MARGIN - INNER
        self.top = self.height - MARGIN - INNER - 8
        self.canvas = _Pages(self.out, pagesize=SIZES[paper], pageCompression=1)
        self.regular, self.bold, self.glyphs = fonts()
        self.canvas.setTitle(self.fit(title))
        self.canvas.setAuthor(self.fit(author))
        self.y = self.top

    def fit(self, text: str) -> str:
        return drawable(text, self.glyphs)

    def need(self, height: float) -> bool:
        """Whether a new page was begun for what is this high."""
        if self.y - height >= BOTTOM:
            return False
        self.new_page()
        return True

    def new_page(self) -> None:
        self.canvas.showPage()
        self.y = self.top

    def wide(self, text: str, size: float, bold: bool = False) -> float:
        """How wide one line of text is."""
        return pdfmetrics.stringWidth(self.fit(text), self.bold if bold else self.regular, size)

    def lines_of(
        self, text: str, width: float, size: float, bold: bool = False, most: int = 12
    ) -> list[str]:
        font = self.bold if bold else self.regular
        return wrap(self.fit(text), width, lambda t: pdfmetrics.stringWidth(t, font, size), most)

    def words(
        self,
        x: float,
        y: float,
        text: str,
        size: float = 8.5,
        *,
        bold: bool = False,
        align: Align = "left",
        colour: Sequence[float] = INK,
    ) -> None:
        """One line of text with its baseline at y, as it is; wrap it first if it may be long."""
        self.canvas.setFont(self.bold if bold else self.regular, size)
        self.canvas.setFillColorRGB(*colour)
        draw = {
            "left": self.canvas.drawString,
            "right": self.canvas.drawRightString,
            "middle": self.canvas.drawCentredString,
        }[align]
        draw(x, y, in_reading_order(self.fit(text)))

    def column(
        self,
        x: float,
        y: float,
        text: str,
        width: float,
        size: float = 8.5,
        *,
        bold: bool = False,
        colour: Sequence[float] = INK,
        most: int = 12,
    ) -> float:
        """Wrapped text from y down; returns the y under it."""
        for line in self.lines_of(text, width, size, bold, most):
            self.words(x, y, line, size, bold=bold, colour=colour)
            y -= size * 1.28
        return y

    def picture(self, content: bytes, high: float) -> None:
        """A picture at the left, so high at most, with the cursor under it."""
        drawn = ImageReader(BytesIO(content))
        wide, tall = drawn.getSize()
        high = min(high, (self.right - LEFT) / 2 * tall / wide)
        self.canvas.drawImage(
            drawn, LEFT, self.y - high + 8, wide * high / tall, high, mask="auto"
        )  # fmt: skip
        self.y -= high + 4

    def rule(
        self, x1: float, y1: float, x2: float, y2: float, width: float = 0.5,
        colour: Sequence[float] = INK, dash: Sequence[float] = (),
    ) -> None:  # fmt: skip
        self.canvas.setLineWidth(width)
        self.canvas.setStrokeColorRGB(*colour)
        self.canvas.setDash(*([list(dash)] if dash else []))
        self.canvas.line(x1, y1, x2, y2)

    def box(
        self, x: float, y: float, width: float, height: float, line: float = 0.7,
        colour: Sequence[float] = INK, fill: Sequence[float] | None = None,
    ) -> None:  # fmt: skip
        self.canvas.setLineWidth(line)
        self.canvas.setStrokeColorRGB(*colour)
        self.canvas.setDash()
        if fill:
            self.canvas.setFillColorRGB(*fill)
        self.canvas.rect(x, y, width, height, stroke=1, fill=1 if fill else 0)

    def finish(self, cells: Sequence[tuple[str, str, float]]) -> bytes:
        """Close the last page, put frame and title block on every one, return the file.

        `cells` are (name, text, width) of the block; the sheet's own number is added.
        """
        self.canvas.showPage()
        pages = self.canvas.kept
        for number, page in enumerate(pages, 1):
            self.canvas.__dict__.update(page)
            count = _("{number} of {count}").format(number=number, count=len(pages))
            self._frame([*cells, (_("Sheet"), count, 0)])
            Canvas.showPage(self.canvas)
        self.canvas.save()
        return self.out.getvalue()

    def _frame(self, cells: Sequence[tuple[str, str, float]]) -> None:
        wide, high = self.width - 2 * MARGIN, self.height - 2 * MARGIN
        self.box(MARGIN, MARGIN, wide, high, 1.4)
        self.box(MARGIN - 4, MARGIN - 4, wide + 8, high + 8, 0.35, FAINT)
        self.rule(MARGIN, MARGIN + BLOCK_HIGH, MARGIN + wide, MARGIN + BLOCK_HIGH, 1.4)
        x = MARGIN
        for at, (name, text, width) in enumerate(cells):
            width = width or MARGIN + wide - x
            if at:
                self.rule(x, MARGIN, x, MARGIN + BLOCK_HIGH, 0.7)
            self.words(x + 6, MARGIN + BLOCK_HIGH - 11, name.upper(), 6, colour=FAINT)
            lines = self.lines_of(text, width - 12, 10, True, 2)
            y = MARGIN + (13 if len(lines) == 1 else 18)
            for line in lines:
                self.words(x + 6, y, line, 10, bold=True)
                y -= 11.5
            x += width
