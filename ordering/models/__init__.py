from ordering.models.history import LeadTimeFit, PastOrder, PastVersion, Shortage, Shutdown
from ordering.models.notices import Notice, NoticeText
from ordering.models.orders import (
    Event,
    FactoryOrder,
    Order,
    OrderLine,
    OrderWord,
    ToldWindow,
)

__all__ = [
    "Event",
    "FactoryOrder",
    "LeadTimeFit",
    "Notice",
    "NoticeText",
    "Order",
    "OrderLine",
    "OrderWord",
    "PastOrder",
    "PastVersion",
    "Shortage",
    "Shutdown",
    "ToldWindow",
]
