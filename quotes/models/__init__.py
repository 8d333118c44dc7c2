from quotes.models.enquiries import Enquiry, MarginRule, Special, SpecialEvent
from quotes.models.people import Address, Contact, Customer, Merge
from quotes.models.prices import FreightStep, QuantityBreak, TaxRate, Terms
from quotes.models.quotes import (
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

__all__ = [
    "Acceptance",
    "Address",
    "ChangeAsked",
    "Contact",
    "Customer",
    "Enquiry",
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
    "Special",
    "SpecialEvent",
    "TaxRate",
    "Terms",
]
