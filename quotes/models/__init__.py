from quotes.models.enquiries import Enquiry, FactoryQuestion, MarginRule, Special, SpecialEvent
from quotes.models.people import Address, Contact, Customer, Erasure, Merge
from quotes.models.prices import FreightStep, QuantityBreak, TaxRate, Terms
from quotes.models.quotes import (
    SENT_BACK,
    Acceptance,
    ChangeAsked,
    Issue,
    Letter,
    LineOpening,
    Link,
    Quote,
    QuoteLine,
)
from quotes.models.requests import Opening, Request
from quotes.models.schedules import Schedule, ScheduleLine
from quotes.models.shop import Integration, Invitation, News, Shop
from quotes.models.sign_ins import CodeMaker, SignIn

__all__ = [
    "SENT_BACK",
    "Acceptance",
    "Address",
    "ChangeAsked",
    "CodeMaker",
    "Contact",
    "Customer",
    "Enquiry",
    "Erasure",
    "FactoryQuestion",
    "FreightStep",
    "Integration",
    "Invitation",
    "Issue",
    "Letter",
    "LineOpening",
    "Link",
    "MarginRule",
    "Merge",
    "News",
    "Opening",
    "QuantityBreak",
    "Quote",
    "QuoteLine",
    "Request",
    "Schedule",
    "ScheduleLine",
    "Shop",
    "SignIn",
    "Special",
    "SpecialEvent",
    "TaxRate",
    "Terms",
]
