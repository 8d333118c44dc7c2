"""The writing module: every change of an order, each in one transaction with its event and notices."""

from ordering.events.calendar import finishes_of, open_again, short_until, shut, supplied_again
from ordering.events.erasing import ErasingError, erase_customer
from ordering.events.factory import (
    acknowledge,
    answer,
    chase,
    give_dates,
    send_to_factories,
    shipped,
)
from ordering.events.factory_says import cannot_make, cannot_make_as_said, dealt_with, say
from ordering.events.log import BY_ITSELF, StaleError, Who, copy_state, write
from ordering.events.placing import HandLine, PlacingError, place_by_hand, place_from_quote
from ordering.events.shop import (
    called,
    cancel,
    choose_notices,
    follow_merge,
    make_again,
    pay_back,
    take_back,
    take_deposit,
    tell_refused,
)
from ordering.events.watching import watch, watch_all

__all__ = [
    "BY_ITSELF",
    "ErasingError",
    "HandLine",
    "PlacingError",
    "StaleError",
    "Who",
    "acknowledge",
    "answer",
    "called",
    "cancel",
    "cannot_make",
    "cannot_make_as_said",
    "chase",
    "choose_notices",
    "copy_state",
    "dealt_with",
    "erase_customer",
    "finishes_of",
    "follow_merge",
    "give_dates",
    "make_again",
    "open_again",
    "pay_back",
    "place_by_hand",
    "place_from_quote",
    "say",
    "send_to_factories",
    "shipped",
    "short_until",
    "shut",
    "supplied_again",
    "take_back",
    "take_deposit",
    "tell_refused",
    "watch",
    "watch_all",
    "write",
]
