"""Messages of one shop and a page of what was found in them, as a browser sends it back."""

from tests.quotes.counter_page import fields_of

PASTED = "/requests/pasted/"

CLEAN = (
    "Hello, the kitchen window: upper glass 20 1/4, lower glass 20 1/4, opening 47 7/8, "
    "sash weighs 9 lb. In slate, qty 2.\nThanks\nMara Quill 802 555 0117 mara@quill.example"
)
SEVERAL = (
    "Kitchen: top glass 20 1/4, bottom glass 20 1/4, opening 47 7/8, ash\n"
    "Hall: both glass 514 mm, qty 3, slate\n"
    "Stairs: upper glass 16, lower glass 24, cottage, chalk\n"
)
CONTRADICTORY = "upper glass 20 1/4, opening 47 7/8 or 48 7/8. Lower glass 20 1/4 in ash."
NOTHING = "Good morning, do you make liners at all? We moved into 88 Millrace Road in 1962. Ines"


def read(clerk, text, family="otter-liner"):
    """The page of what was found."""
    return clerk.post(PASTED, {"family": family, "text": text, "do": "read"})


def send(clerk, page, do, /, **changed):
    """The page sent again by one of its buttons, some of its boxes changed (o0_right is o0-right)."""
    fields = {**fields_of(page), "do": do}
    fields |= {
        name.replace("_", "-", 1) if name[:1] == "o" else name: text
        for name, text in changed.items()
    }
    return clerk.post(PASTED, {k: v for k, v in fields.items() if v is not None})
