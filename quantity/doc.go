// Package quantity turns pieces into a schedule of quantities and an order list.
//
// It takes what each piece uses (board, trim, strip, bucket: its number, a material
// key, a quantity and unit) and the allowances for waste, and gives lines with net
// and gross quantity, the pieces behind each line, packs at least cost (or least
// surplus where there are no prices), and the points of dangerous goods for the
// small-load rule of road carriage. Consumables (acetone, sleeves, brushes, gloves)
// follow from area and people by the trade's rules of thumb, marked as such.
//
// Nothing ordered is less than what is used: gross is never below net and packs
// never hold less than gross. Money is in minor units (pence, cents), so sums are exact.
package quantity
