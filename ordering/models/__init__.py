from ordering.models.history import PastOrder, Shortage, Shutdown
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
    "Notice",
    "NoticeText",
    "Order",
    "OrderLine",
    "OrderWord",
    "PastOrder",
    "Shortage",
    "Shutdown",
    "ToldWindow",
]
