"""What the pieces ahead tell before any is put to a window: how far a block reaches, which lists are of windows."""

from __future__ import annotations

from collections import Counter

from quotes.messages.pieces import Piece


def block(said: list[Piece], at: int) -> set[str]:
    """All measures said in a piece and after it until one comes again or another block begins;
    those of its own line all count."""
    codes: set[str] = set()
    for here in range(at, min(at + 12, len(said))):
        piece = said[here]
        below = piece.line != said[at].line
        if below and (piece.fresh == "gap" or piece.codes & codes or piece.marks):
            break
        codes |= piece.codes
    return codes


def own_windows(said: list[Piece]) -> set[int]:
    """The items of lists in which each item is a window, because measures come again in them or
    an item says that all of them are the same."""
    found: set[int] = set()
    run: list[list[Piece]] = []
    codes: Counter[str] = Counter()
    for piece in [*said, None]:
        named = piece is not None and any(m.firm and m.kind != "item" for m in piece.marks)
        if piece is None or (named and not piece.item):
            if any(n > 1 for n in codes.values()) or _repeated(run):
                found |= {id(told[0]) for told in run}
            run, codes = [], Counter()
            continue
        if piece.item:
            run.append([])
        if run:
            run[-1].append(piece)
            codes.update(piece.codes)
    return found


def _repeated(items: list[list[Piece]]) -> bool:
    """Whether an item is the same as a whole one before, and no list of one measure each."""
    measured = [len(set[str]().union(*(piece.codes for piece in told))) for told in items]
    measured = [number for number in measured if number]
    same = any(each.whole for told in items for piece in told for each in piece.sames)
    return same and (len(measured) < 2 or max(measured) > 1)
