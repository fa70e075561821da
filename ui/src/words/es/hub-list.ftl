## La lista de compra como tabla (CSV)

list-item = Qué
list-unit = Unidad
list-exact = Según cálculo
list-sizes = Medidas
list-bought = Comprado
list-bags = sacos
list-pieces = piezas
