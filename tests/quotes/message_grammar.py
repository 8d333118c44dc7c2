"""Messages made by a grammar, each with what it says: the same facts in many ways of writing them."""

from fractions import Fraction
from random import Random

_UPPER = (
    "upper glass",
    "top pane",
    "UG",
    "glass in the upper sash",
    "height of the top pane",
    "top",
)
_LOWER = ("lower glass", "bottom pane", "LG", "glass in the lower sash", "btm glass", "bottom")
_OPENING = ("opening", "opening height", "op", "jamb height", "window opening", "sill to head")
_BOTH = (
    "both glasses",
    "upper and lower glass",
    "glass top and bottom",
    "each glass",
    "both panes",
)
_FINISHES = ("ash", "slate", "chalk", None)
_COUNTS = (
    "qty {}",
    "x{}",
    "{} windows",
    "{} of those",
    "need {}",
    "{} pcs",
    "quantity: {}",
    "{} ea",
)
_LABELS = {
    "number": lambda at: f"Window {at + 1}: ",
    "item": lambda at: f"{at + 1}) ",
    "hash": lambda at: f"#{at + 1} ",
    "letter": lambda at: f"{'ABC'[at]}. ",
    "order": lambda at: ("First one: ", "Second one: ", "Third one: ")[at],
    "room": lambda at: ("Kitchen: ", "Front bedroom: ", "Hall: ")[at],
    "name": lambda at: ("Ortiz: ", "Weiss: ", "Lot 7: ")[at],
}  # fmt: skip
_VULGAR = dict(zip(map(str, (Fraction(n, 8) for n in range(1, 8))), "⅛¼⅜½⅝¾⅞", strict=True))


def _said(value: Fraction, style: str) -> str:
    whole, rest = int(value), str(value % 1)
    if rest == "0":
        return f"{whole}"
    return {
        "plain": f"{whole} {rest}",
        "dash": f"{whole}-{rest}",
        "inches": f'{whole} {rest}"',
        "and": f"{whole} and {rest}",
        "decimal": f"{float(value):g}",
        "vulgar": f"{whole}{_VULGAR[rest]}",
        "feet": f"{whole // 12}' {whole % 12} {rest}\"",
    }[style]


def _window(random: Random, style: str, sep: str, glue: str) -> tuple[str, dict[str, float]]:
    """One window's measures in words, and what they are in inches."""
    upper, lower = (Fraction(random.randrange(112, 190), 8) for _ in range(2))
    opening = Fraction(random.randrange(272, 420), 8)
    truth = {"upper_glass": float(upper), "lower_glass": float(lower), "opening": float(opening)}
    said = [f"{random.choice(_UPPER)}{sep}{_said(upper, style)}",
            f"{random.choice(_LOWER)}{sep}{_said(lower, style)}"]  # fmt: skip
    if random.random() < 0.3:
        said = [f"{random.choice(_BOTH)}{sep}{_said(upper, style)}"]
        truth["lower_glass"] = float(upper)
    said.append(f"{random.choice(_OPENING)}{sep}{_said(opening, style)}")
    if random.random() < 0.3:
        said.reverse()
    return glue.join(said), truth


def message(seed: int) -> dict:
    """One message of one to three windows, in the form of the message sets."""
    random = Random(seed)
    style = random.choice(("plain", "dash", "inches", "and", "decimal", "vulgar", "feet"))
    sep, glue = random.choice((" ", ": ", " = ", " is ")), random.choice((", ", "; ", " / "))
    many = random.choice((1, 1, 2, 3))
    label = random.choice(list(_LABELS.values())) if many > 1 else lambda at: ""
    lines, openings = [], []
    for at in range(many):
        words, measures = _window(random, style, sep, glue)
        quantity, finish = random.choice((1, 2, 3, 4, 6)), random.choice(_FINISHES)
        tail = [finish or "", random.choice(_COUNTS).format(quantity) if quantity > 1 else ""]
        lines.append(", ".join([label(at) + words, *filter(None, tail)]))
        openings.append({"measures": measures, "quantity": quantity, "finish": finish})
    head = random.choice(("", "Hi,\n", "Please quote:\n\n", "Good morning.\n"))
    foot = random.choice(("", "\nThanks, Mira", "\n\nOla Brandt\n12 Mill St\n518-555-0133"))
    return {"text": head + "\n".join(lines) + foot, "expect": {"openings": openings}}
