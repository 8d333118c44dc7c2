"""An issue's papers as files, the same for a page and for a mail that takes them along."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quotes.documents.pdf import quote_pdf
from quotes.documents.workbook import quote_workbook
from quotes.links import address_of
from quotes.lists.issues import document_of
from quotes.lists.shop import the_shop
from quotes.models import Issue, Shop
from sizing.columns import XLSX


def papers_of(
    issue: Issue, endings: Iterable[str] = ("pdf", "xlsx"), shop: Shop | None = None
) -> Iterator[tuple[str, bytes, str]]:
    """(file name, content, media type) of those with these endings; a draft's as they would be today.

    `shop`, where it has been read already.
    """
    document, shop = document_of(issue), shop or the_shop()
    link = address_of(issue) if issue.issued_at else ""
    name = f"quote-{document.number}-{document.issue}"
    for ending in endings:
        if ending == "pdf":
            made = quote_pdf(document, link, shop.paper_size, shop.logo)
            yield f"{name}.pdf", made, "application/pdf"
        else:
            yield f"{name}.xlsx", quote_workbook(document, link, shop.paper_size), XLSX
