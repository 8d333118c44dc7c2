"""How fast a quote of ten openings becomes a PDF, beside its bare strokes drawn with reportlab alone."""

from io import BytesIO
from time import perf_counter

import pytest
from pypdf import PdfReader
from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

from quotes.documents import sheet as paper
from quotes.documents.pdf import quote_pdf
from quotes.lists.issues import document_of
from tests.quotes import shop

MOST = 2.0
STROKES = (
    "setFont", "setFillColorRGB", "setStrokeColorRGB", "setLineWidth", "setDash", "line", "rect",
    "drawString", "drawRightString", "drawCentredString", "drawPath", "translate", "scale",
    "saveState", "restoreState",
)  # fmt: skip


def best(work, rounds=9):
    """The shortest of several runs, in seconds."""
    found = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        found.append(perf_counter() - start)
    return min(found)


def strokes_of(document, monkeypatch):
    """Every call that draws, page by page, as the paper makes them."""
    pages = [[]]
    inside = []

    def noting(name):
        plain = getattr(Canvas, name)

        def noted(self, *args, **kwargs):
            if not inside:
                pages[-1].append((name, args, kwargs))
            inside.append(name)
            try:
                return plain(self, *args, **kwargs)
            finally:
                inside.pop()

        return noted

    for name in STROKES:
        monkeypatch.setattr(paper._Pages, name, noting(name), raising=False)
    turn = paper._Pages.showPage

    def turned(self):
        pages.append([])
        turn(self)

    monkeypatch.setattr(paper._Pages, "showPage", turned)
    made = quote_pdf(document)
    monkeypatch.undo()
    return made, [page for page in pages if page]


@pytest.mark.django_db
def test_quote_of_ten_openings(monkeypatch):
    """A quote PDF of ten openings takes at most twice its bare strokes on as many pages."""
    shop.load_liner()
    document = document_of(
        shop.issued_quote(*[shop.part_opening(f"Window {n}") for n in range(10)])
    )
    made, pages = strokes_of(document, monkeypatch)
    count = len(PdfReader(BytesIO(made)).pages)

    def bare():
        out = BytesIO()
        canvas = Canvas(out, pagesize=letter, pageCompression=1)
        for page in pages:
            for name, args, kwargs in page:
                getattr(canvas, name)(*args, **kwargs)
            if page is not pages[-1]:
                canvas.showPage()
        canvas.save()
        return out.getvalue()

    floor, ours = best(bare), best(lambda: quote_pdf(document))
    print(
        f"\nquote PDF, {count} pages: {ours * 1000:.1f} ms, bare {floor * 1000:.1f} ms, {ours / floor:.2f} x"
    )
    assert ours <= MOST * floor
