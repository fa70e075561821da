## The shopping list as a table (CSV), written by the hub.

list-item = What
list-unit = Unit
list-exact = As reckoned
list-sizes = Sizes
list-bought = Bought
list-bags = bags
list-pieces = pieces
