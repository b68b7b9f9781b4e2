// Package cutting finds the cheapest way to cut ordered pieces from stock, and
// proves how near to the cheapest it is.
//
// Two cases: lengths cut from bars or boards (Solve), and rectangles cut from
// sheets edge to edge, by saw or knife (SolveSheets). Both know several stock
// sizes, their costs, how many are in hand, and the width of the saw cut. Every
// answer carries the plan, its cost, a proven lower bound, the gap between the
// two, and in words how the search ended. Lengths are whole millimetres; costs
// are in any one currency. When every cost is nought, stock is charged by its
// length (or area).
//
// Method in one dimension: piece + kerf in stock + kerf; equal lengths merged and
// divided by their common divisor; pieces that settle themselves set aside
// (Martello, Toth: Knapsack Problems, 1990, ch. 8); best fit decreasing and
// minimum bin slack (Gupta, Ho 1999; Fleszar, Hindi 2002) for a first plan; volume,
// L2 and dual feasible functions for a first bound; then the pattern programme of
// Gilmore and Gomory (1961) by column generation, whose duals are rounded to whole
// numbers and priced by an exact knapsack so that the bound holds without trust in
// floating point (Farley 1990); diving for plans; and branch and bound on the
// enumerated patterns whose reduced cost leaves room below the best plan.
//
// The result depends on the problem alone: budgets count steps, not seconds. A
// context that ends stops the search early; the plan and bound reached by then
// are returned.
//
// The package does not know what is cut, nor does it place pieces on a roof.
package cutting
