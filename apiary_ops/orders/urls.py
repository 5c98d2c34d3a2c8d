from django.urls import path

from .views import buyers, orders, selling

app_name = "orders"
urlpatterns = [
    path("", orders.order_list, name="list"),
    path("new/", orders.new_order, name="new"),
    path("new/<int:buyer_pk>/", orders.place_order, name="place"),
    path("buyers/", buyers.buyer_list, name="buyers"),
    path("buyers/add/", buyers.add_buyer, name="buyer-add"),
    path("buyers/<int:pk>/", buyers.buyer_page, name="buyer"),
    path("buyers/<int:pk>/edit/", buyers.edit_buyer, name="buyer-edit"),
    path("rounds/", selling.rounds_and_prices, name="rounds"),
    path("rounds/open/", selling.open_round, name="round-add"),
    path("rounds/<int:pk>/", selling.edit_round, name="round-edit"),
    path("prices/set/", selling.set_price, name="price-set"),
    # Last: an order's number is anything else.
    path("<slug:number>/", orders.order_page, name="order"),
    path("<slug:number>/edit/", orders.edit_order, name="order-edit"),
]
