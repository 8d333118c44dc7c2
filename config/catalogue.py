"""The catalogue of what customers read: every marked text of the code and the templates, with its Spanish.

`make words` (python -m config.catalogue) brings locale/es/LC_MESSAGES/django.po up to date (new texts
come in empty, gone ones go) and compiles it into django.mo beside it; both are kept in the repository,
so that a fresh machine needs no tool of its own. Texts are found in the syntax trees of Python files and
of Django's templates, not by searching.
"""

from __future__ import annotations

import ast
import os
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from babel.messages import mofile, pofile
from babel.messages.catalog import Catalog, Message

ROOT = Path(__file__).resolve().parent.parent
PO = ROOT / "locale" / "es" / "LC_MESSAGES" / "django.po"
MO = PO.with_suffix(".mo")
# How each mark is called: where the context stands among its arguments, and how many texts follow.
MARKS = {
    "_": (0, 1), "N_": (0, 1), "gettext": (0, 1), "gettext_lazy": (0, 1), "ngettext": (0, 2),
    "pgettext": (1, 1),
}  # fmt: skip


@dataclass(frozen=True)
class Marked:
    """One marked text: `one` alone, or with `many` for several; `place` is the file and line."""

    one: str
    many: str
    context: str
    place: tuple[str, int]

    @property
    def key(self) -> tuple[str, str]:
        return self.one, self.context


def marked() -> dict[tuple[str, str], Marked]:
    """Every marked text once, by (text, context), in the order of files and lines."""
    found: dict[tuple[str, str], Marked] = {}
    for one in [*_in_python(), *_in_templates()]:
        found.setdefault(one.key, one)
    return found


def _in_python() -> Iterator[Marked]:
    for folder in ("config", "sizing", "quotes", "ordering"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            name = str(path.relative_to(ROOT))
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                    yield from _call(node, node.func.id, name)


def _call(node: ast.Call, called: str, name: str) -> Iterator[Marked]:
    if called not in MARKS:
        return
    skipped, texts = MARKS[called]
    said = [a.value if isinstance(a, ast.Constant) else None for a in node.args[: skipped + texts]]
    if len(said) < skipped + texts or not all(isinstance(text, str) for text in said):
        return
    context = said[0] if skipped else ""
    one, many = [*said[skipped:], ""][:2]
    yield Marked(one, many, context, (name, node.lineno))


def _in_templates() -> Iterator[Marked]:
    from django.template import engines
    from django.templatetags.i18n import BlockTranslateNode, TranslateNode

    engine = engines["django"].engine
    for path in sorted((ROOT / "templates").rglob("*.html")):
        name, text = str(path.relative_to(ROOT)), path.read_text("utf-8")
        if "i18n" not in text:
            continue
        template = engine.from_string(text)
        for node in template.nodelist.get_nodes_by_type(TranslateNode):
            literal = node.filter_expression.var.literal
            if literal:
                yield Marked(str(literal), "", "", (name, node.token.lineno))
        for node in template.nodelist.get_nodes_by_type(BlockTranslateNode):
            one = node.render_token_list(node.singular)[0]
            many = node.render_token_list(node.plural)[0] if node.plural else ""
            yield Marked(one, many, "", (name, node.token.lineno))


def kept() -> Catalog:
    """The catalogue as it is kept."""
    with PO.open("rb") as lines:
        return pofile.read_po(lines, locale="es")


def renewed(now: Catalog) -> Catalog:
    """The catalogue with exactly the marked texts, each with its translation as far as there is one."""
    made = Catalog(
        locale="es", project="Sashdesk", charset="utf-8", header_comment=now.header_comment,
        creation_date=now.creation_date, revision_date=now.revision_date, fuzzy=False,
    )  # fmt: skip
    for text in marked().values():
        before = now.get(text.one, text.context or None)
        string = before.string if before else ""
        if text.many and not isinstance(string, (list, tuple)):
            string = (string, "")
        made.add(
            (text.one, text.many) if text.many else text.one,
            string,
            locations=[(text.place[0], None)],
            context=text.context or None,
        )
    return made


def written(catalogue: Catalog) -> bytes:
    out = BytesIO()
    pofile.write_po(out, catalogue, width=110)
    return out.getvalue()


def compiled(catalogue: Catalog) -> bytes:
    out = BytesIO()
    mofile.write_mo(out, catalogue)
    return out.getvalue()


def empty(message: Message) -> bool:
    strings = message.string if isinstance(message.string, (list, tuple)) else (message.string,)
    return not all(strings)


def main() -> None:
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    catalogue = renewed(kept())
    PO.write_bytes(written(catalogue))
    MO.write_bytes(compiled(catalogue))
    for message in catalogue:
        if message.id and empty(message):
            print(f"no Spanish yet: {message.id!r}")


if __name__ == "__main__":
    main()
