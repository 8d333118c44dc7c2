from django.urls import path

from ordering.views import calendar, customers, desk, factories, orders, programs, today, when

urlpatterns = [
    path("", today.today, name="home"),
    path("shop/programs/<int:pk>/", programs.program, name="program"),
    path("when/", when.when, name="when"),
    path("watch/", desk.watch, name="watch"),
    path("watch/called/<int:pk>/", desk.called, name="notice-called"),
    path("record/", desk.desk_record, name="record"),
    path("notices/", desk.texts, name="notice-texts"),
    path("notices/<str:kind>/", desk.text, name="notice-text"),
    path("orders/", orders.orders, name="orders"),
    path("orders/new/", orders.by_hand, name="order-by-hand"),
    path("orders/send/", factories.send, name="send-to-factories"),
    path("orders/place/<int:quote>/", orders.place, name="place-order"),
    path("orders/<int:pk>/", orders.order, name="order"),
    path("orders/<int:pk>/lines/<int:number>/", orders.line_act, name="order-line"),
    path("orders/<int:pk>/lines/<int:number>/again/", orders.again, name="order-again"),
    path("orders/<int:pk>/deposit/", orders.deposit, name="order-deposit"),
    path("orders/<int:pk>/note/", orders.note, name="order-note"),
    path("orders/<int:pk>/take-back/<int:number>/", orders.take_back, name="order-take-back"),
    path("factories/<int:pk>/calendar/", calendar.factory_calendar, name="factory-calendar"),
    path("factory-orders/", factories.factory_order_list, name="factory-orders"),
    path("factory-orders/<int:pk>/", factories.factory_order, name="factory-order"),
    path("factory-orders/<int:pk>/chase/", factories.chase, name="chase-factory"),
    path("factory-orders/<int:pk>/paper.<str:kind>", orders.paper, name="factory-order-paper"),
    path("o/<str:token>/", customers.public, name="order-public"),
    path("o/<str:token>/order.ics", customers.calendar, name="order-calendar"),
    path("f/<str:token>/", factories.public, name="factory-public"),
]
