"""The keystroke-level model: seconds that a practised person takes, from the keys that were really pressed.

Card, Moran and Newell, "The keystroke-level model for user performance time with interactive systems",
Communications of the ACM 23 (7), 1980, pages 396-410. Operators and times as given there, from memory:
K 0.20 s (average skilled typist) or 0.28 s (average non-secretary typist), P 1.10 s (point at something),
H 0.40 s (move the hands), M 1.35 s (prepare in the mind); R is what the machine takes, as measured.
Shift, Control and Alt count as keys of their own, as in the paper.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field

K_SKILLED, K_AVERAGE, P, H, M = 0.20, 0.28, 1.10, 0.40, 1.35
# What needs Shift on a United States keyboard.
SHIFTED = frozenset('~!@#$%^&*()_+{}|:"<>?')


def keys_of(text: str) -> int:
    """Keys for a text: one each, two for what needs Shift."""
    return sum(2 if c.isupper() or c in SHIFTED else 1 for c in text)


@dataclass
class Way:
    """One way to do the task: keys, moves and thoughts, added up."""

    name: str
    keys: int = 0
    thoughts: int = 0
    points: int = 0
    hands: int = 0
    waits: float = 0.0
    steps: list[str] = field(default_factory=list)

    def step(
        self, words: str, text: str = "", keys: int = 0, m: int = 0, p: int = 0, h: int = 0
    ) -> None:
        self.keys += keys_of(text) + keys
        self.thoughts, self.points, self.hands = self.thoughts + m, self.points + p, self.hands + h
        self.steps.append(words)

    def seconds(self, k: float) -> float:
        return self.keys * k + self.thoughts * M + self.points * P + self.hands * H + self.waits

    @property
    def line(self) -> str:
        return (
            f"| {self.name} | {self.keys} | {self.thoughts} | {self.points} | {self.hands} | "
            f"{self.waits:.1f} | {self.seconds(K_SKILLED):.0f} | {self.seconds(K_AVERAGE):.0f} |"
        )


class Typist:
    """Drives a page by the keyboard alone and counts what the page itself saw of it."""

    def __init__(self, page, way: Way) -> None:
        self.page, self.way = page, way
        self.seen: list[str] = []
        self.mouse: list[str] = []
        page.expose_function("noteKey", lambda key: self.seen.append(key))
        page.expose_function("noteMouse", lambda kind: self.mouse.append(kind))
        page.add_init_script(
            "addEventListener('keydown', e => noteKey(e.key), true);"
            "for (const kind of ['mousedown', 'pointerdown', 'touchstart'])"
            " addEventListener(kind, () => noteMouse(kind), true);"
        )

    def types(self, text: str) -> None:
        """A text that was thought of as one: M, then its keys."""
        self.way.thoughts += 1
        self.page.keyboard.type(text, delay=20)

    def enters(self, box: str) -> None:
        """Enter from box to box until this one has the focus: keys that follow by themselves."""
        for _ in range(12):
            self.page.keyboard.press("Enter")
            if self.page.evaluate("document.activeElement.id") == box:
                return
        raise AssertionError(f"Enter never reaches {box}")

    def commands(self, key: str, done) -> None:
        """A command: M, its keys, and the wait until `done` has happened."""
        self.way.thoughts += 1
        begun = time.perf_counter()
        self.page.keyboard.press(key)
        done()
        self.way.waits += time.perf_counter() - begun

    def reckon(self) -> Way:
        """The way with the keys that arrived. Shift of typed capitals sends no event here, so it is added."""
        self.way.keys = sum(keys_of(k) if len(k) == 1 else 1 for k in self.seen)
        return self.way
