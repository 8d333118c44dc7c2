"""Words of a message that know where in it they stand."""

from __future__ import annotations


class Stretch(str):
    """The words from `start` up to `end` (offsets in the message). Empty words stand nowhere: 0 and 0."""

    __slots__ = ("end", "start")

    start: int
    end: int

    @classmethod
    def of(cls, text: str, start: int, end: int) -> Stretch:
        """The stretch of a text between two offsets."""
        words = cls(text[start:end])
        words.start, words.end = start, end
        return words


NOWHERE = Stretch.of("", 0, 0)
