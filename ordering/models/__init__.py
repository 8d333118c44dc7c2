from ordering.models.history import (
    JudgedMonth,
    LeadTimeFit,
    PastOrder,
    PastVersion,
    RemadeMonth,
    Shortage,
    Shutdown,
)
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
    "JudgedMonth",
    "LeadTimeFit",
    "Notice",
    "NoticeText",
    "Order",
    "OrderLine",
    "OrderWord",
    "PastOrder",
    "PastVersion",
    "RemadeMonth",
    "Shortage",
    "Shutdown",
    "ToldWindow",
]
