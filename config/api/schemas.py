"""What goes in and out of the API. Nothing is coerced: a number is no text, and a name too many is refused."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from ninja import Field, Schema
from pydantic import BeforeValidator, ConfigDict

from quotes.desk.requests import MOST_OPENINGS

DAY, KEY, ORDER = r"^\d{4}-\d{2}-\d{2}$", r"^[A-Za-z0-9_-]{8,60}$", r"^(C-)?\d{1,9}$"
# PostgreSQL stores no NUL.
NO_NUL = r"^[^\x00]*$"
# A measure: so many characters, or a number so large.
MOST_TEXT, MOST_SAID = 60, 100_000

Text = Annotated[str, Field(max_length=120, pattern=NO_NUL)]
Code = Annotated[str, Field(min_length=1, max_length=60)]
FamilyCode = Annotated[Code, Field(pattern=NO_NUL)]
Day = Annotated[str, Field(pattern=DAY, examples=["2026-05-04"])]
Said = (
    Annotated[str, Field(max_length=MOST_TEXT)] | Annotated[float, Field(ge=0, le=MOST_SAID)] | None
)


def _whole(said: Any) -> Any:
    """2.0 is a whole number in JSON, and 2 to Python."""
    return int(said) if isinstance(said, float) and said.is_integer() else said


Count = Annotated[int, Field(ge=1, le=9999), BeforeValidator(_whole)]
# What a row's number may be.
Number = Annotated[int, Field(ge=1, le=2_000_000_000)]


OrderNumber = Annotated[str, Field(pattern=ORDER, examples=["C-00012"])]


class Strict(Schema):
    model_config = ConfigDict(strict=True, extra="forbid")


class Problem(Strict):
    """Why a call was refused: one sentence, and where in the body each thing stands that needs mending."""

    error: str
    problems: list[Where] = []


class Where(Strict):
    where: str = Field(examples=["openings.0.measures.opening"])
    words: str


class OpeningIn(Strict):
    """One window. A measure is a text as people write it, a number in the family's unit, or null where
    nobody can take it; leave out what is not known yet."""

    id: Text | None = None
    measures: dict[Code, Said] = Field({}, max_length=30, examples=[{"opening": "47 7/8"}])
    finish: Text | None = None
    quantity: Count = 1
    sash: dict[Code, Text] | None = Field(
        None, max_length=6, description="The sash's glass, where nobody can weigh it."
    )


class ResolveIn(Strict):
    family: FamilyCode
    openings: list[OpeningIn] = Field(min_length=1, max_length=200)


class Price(Strict):
    amount: Decimal = Field(description="List price of one; a quote may differ.")
    currency: str
    per: Literal["piece", "pair"]


class AnswerOut(Strict):
    """`outcome`: "part" (order this), "ask" (the measure, weight or finish in `ask` settles it), "special"
    (a special quote, `reason` says why) or "error" (it can't be read, `text` says what to mend)."""

    id: str | None
    outcome: Literal["part", "ask", "special", "error"]
    part_number: str | None
    row: dict[str, str] | None
    ask: str | None
    reason: str
    certainty: float = Field(ge=0, le=1)
    text: str
    price: Price | None


class ResolveOut(Strict):
    answers: list[AnswerOut]


class WhenQuestion(Strict):
    """A line of an order that this program has made, by its reference; or a part to be ordered."""

    id: Text | None = None
    reference: Text | None = Field(None, examples=["C-00012/1"])
    family: FamilyCode | None = None
    part_number: Text | None = None
    order_on: Day | None = None
    quantity: Count | None = None


class WhenIn(Strict):
    questions: list[WhenQuestion] = Field(min_length=1, max_length=200)
    level: float = Field(0.8, ge=0.05, le=0.98, description="The share of windows that hold.")


class WhenAnswer(Strict):
    """When it should leave the factory, and on what that rests; or why there is no answer."""

    id: str | None
    earliest: str | None = None
    likely: str | None = None
    latest: str | None = None
    basis: str | None = None
    error: str | None = None


class WhenOut(Strict):
    answers: list[WhenAnswer]


class RequestOpening(OpeningIn):
    family: FamilyCode
    label: Annotated[str, Field(max_length=80, pattern=NO_NUL)] = ""


class RequestIn(Strict):
    """One caller with their windows. The same `key` again gives the request that it made first."""

    key: str = Field(pattern=KEY, examples=["cart-000412"])
    caller: Text = ""
    phone: Annotated[str, Field(max_length=40, pattern=NO_NUL)] = ""
    email: Annotated[str, Field(max_length=254, pattern=NO_NUL)] = ""
    note: Annotated[str, Field(max_length=2000, pattern=NO_NUL)] = ""
    needed_by: Day | None = None
    openings: list[RequestOpening] = Field(min_length=1, max_length=MOST_OPENINGS)


class QuoteOut(Strict):
    """`state` is draft until somebody at the desk has checked and issued it."""

    number: str
    issue: int
    state: Literal["draft", "open", "back at the desk", "accepted", "lapsed", "replaced"]
    sentence: str
    currency: str
    total: Decimal | None
    valid_until: str | None
    openings: list[str] = Field(description="What an acceptance has to confirm, by name.")
    page: str | None = Field(description="The customer's own page, once it is issued.")
    order: str | None = Field(description="The order's number, once it is placed.")


class RequestOut(Strict):
    number: int
    answers: list[AnswerOut]
    quotes: list[QuoteOut]


class AcceptIn(Strict):
    issue: Count
    name: Annotated[str, Field(min_length=1, max_length=120, pattern=NO_NUL)]
    their_number: Annotated[str, Field(max_length=40, pattern=NO_NUL)] = Field(
        "", description="The number that the customer's own books have the order under."
    )
    confirmed: list[Text] = Field(
        max_length=MOST_OPENINGS,
        description="The openings whose measures the customer has confirmed: all.",
    )


class OrderLineOut(Strict):
    number: int
    what: str
    quantity: int
    cancelled: int = Field(description="So many of them are not wanted any more.")
    stands: str = Field(description="How it stands, as the desk would say it.")
    earliest: str | None
    likely: str | None
    latest: str | None


class OrderOut(Strict):
    number: str
    placed_on: str
    page: str
    lines: list[OrderLineOut]


Problem.model_rebuild()
