"""The words that stand around a bare number in a message, and tell whether it counts windows."""

from __future__ import annotations

from quotes.messages.scan import listed

NOUNS = listed(
    "window windows wdw wdws wndw wndws win wins unit units set sets pc pcs piece pieces ea each off "
    "liner liners lengths strips balances kit kits opening openings order orders total needed required altogether identical parts"
)
ADJECTIVES = listed(
    "of more such old new the these those same identical double hung - wood wooden vinyl sash single big "
    "small large matching different similar other front back rear replacement jamb track upstairs "
    "downstairs my our sets pairs pieces units full complete more additional"
)
THEM = {"these", "those", "them", "this", "that", "em", "each"}
ASKED = listed(
    "qty q qnty quantity quantities qauntity quanity quantitiy qyt qt quan count need needs needed want wants order ordering ordered get take send quote "
    "price pricing cost require requires times pcs pieces units windows liners sets many quoting makes add"
)
QTY = {"q", "qty", "quantity", "x", "qnty", ":", "qt", "qauntity"}
VERBS = {"are", "have", "with", "@", "at", "in", "for", "is", "has", "measure", "measures", "were"}
ELSE = listed(
    "day days week weeks month months year years yr yrs hour hours hr hrs minute minutes min mins bedroom "
    "bedrooms bed floor floors story stories storey storeys kids people guys miles degrees percent panes "
    "pane sashes lites lite lights light glasses over bath baths car cars dogs screws holes coats doors "
    "times ago o'clock stops miles blocks rooms room photos pictures pics attachments screens storms "
    "adults time adults children feet' inches' calls emails years' weeks' tries attempts grandkids cats"
)
# A house has so many of them, or so many windows are for them: nobody knows.
HOUSE = {"bedrooms", "bathrooms", "baths"}
PAID = {"paid", "pay", "cost", "costs", "charged", "price", "was", "were", "$"}
STARTS = {"", "but", ",", ";", ".", "!", "?", ":", "-", "and", "&", "(", "other", "the", "*", "plus", "so", "then", "still", "also", "now", "remaining", "|", "like", "need", "want", "have", "get", "order", "take", "for"}  # fmt: skip
ALIKE = {"same", "identical", "alike"}
ONE = {"opening", "unit", "window", "set", "liner"}
MANY = {"windows", "units", "openings", "apartments", "apts", "rooms"}
SAID_ANEW = {("ahead", "with"), ("make", "it"), ("make", "that"), ("last", "time")}
KINDS = {"size", "type", "style", "window", "item", "kind"}
PLACES = listed("plot flat unit apt apartment house room suite block level")
IN_ALL = {"total", "altogether", "all", "overall"}
# No sash is divided into as many panes.
MOST_PANES = 20
