"""The trade's usual words for what is measured, and words that look like them and are not."""

from quotes.messages.scan import listed

NAMES = {
    "glass": "glass glasses pane panes lite lites glazing glas glases",
    "upper": "upper uppers top tops",
    "lower": "lower lowers bottom bottoms btm bot bott",
    "opening": "opening openings op opn opng opg hole jamb jambs track tracks",
    "long": "longpoint lp liner liners strip strips",
    "weight": "weight weighs weigh weighing weighed wt wgt",
}
SHORT = {"ug": ("upper", "glass"), "lg": ("lower", "glass"), "tg": ("upper", "glass"), "bg": ("lower", "glass")}  # fmt: skip
LETTERS = {"u": "upper", "t": "upper", "l": "lower", "b": "lower", "o": "opening", "g": "glass"}
LETTERS |= {"oh": "opening", "gh": "glass", "sw": "weight"}
# Sequences that mean the long point of the part that is in the window now.
LONG = [
    phrase.split()
    for phrase in (
        "long point", "long pt", "long points", "long - point", "old part", "old piece", "old strip",
        "old liner", "old jamb liner", "old liners", "old track liner", "existing part", "existing liner",
        "jamb liner", "jamb liners", "end to end", "tip to end", "end - to - end", "tip to tip", "point to point",
        "part length", "liner length", "overall length", "existing strip", "old parts", "old one",
        "track liner", "track liners", "current liner", "long side", "long edge", "longest side", "current part", "original part", "removed part",
    )
]  # fmt: skip
FOREIGN_PHRASES = [
    phrase.split()
    for phrase in (
        "short point", "short pt", "rough opening", "visible glass", "glass i can see", "glass you can see", "glass part you can see", "glass that shows", "glass we can see", "glass we see", "glass i see", "glass that i can see", "glass that you can see", "glass part i can see",
        "meeting rail", "brick opening", "glass width", "sash height", "frame height", "storm window",
        "glass thickness", "masonry opening", "window height", "sash opening width",
    )
]  # fmt: skip
FOREIGN = listed(
    "short width wide across wd depth deep thick thickness stile stiles rail rails stop stops sill sills casing trim "
    "muntin muntins screen screens storm storms door doors wall walls diagonal frame frames apron header "
    "radiator curtain blind blinds shade wider brickmould brickmold ceiling floor"
)
# These neither name a measure nor part its name from what follows.
FILLERS = listed(
    "sash sashes height heights length size sizes dimension dimensions measurement measurement's of the "
    "hi ht hgt high tall 's section piece itself one ones own in on for"
)
TYPO_WORDS = ("upper", "lower", "glass", "opening", "bottom", "weight", "weighs", "liner", "track", "panes", "openings")  # fmt: skip
NOT_TYPOS = listed(
    "line lines lower's gas grass class gloss plane planes pain pains pans pants pane panel supper per uper's "
    "flower power eight height weights truck trucks tack rack crack slower blower loser lover lowe glance "
    "pans trac open opens opened spending liners liner's linear glasses tracks opener bottoms panels pines "
    "punes pawns paines trace"
)
# On their own they are as likely what is wanted as what was measured.
GENERIC = {"liner", "liners", "strip", "strips", "track", "tracks", "jamb", "jambs"} | FILLERS
# Words that are one slip away from some finish and mean something else.
FINISH_WORDS = listed(
    "slat slats late plate state stale bron cram cream crea whit with wite back lack bark brow gree grey gray blue bone sand sandy stone stoned sone silver sliver natural"
)
SIZES = {"height", "length", "size", "dimension", "measurement"}
OF_WINDOWS = listed("have has need want get take windows window of openings in")
BOTH_LETTERS = [[a, mark, b] for a, b in ("tb", "ul") for mark in "&/+"]
