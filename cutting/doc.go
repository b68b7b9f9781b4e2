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
// divided by their common divisor; best fit decreasing and minimum bin slack (Gupta,
// Ho 1999; Fleszar, Hindi 2002) for a first plan; volume, with one length L2 (Martello,
// Toth 1990) and dual feasible functions (Fekete, Schepers 2001) for a first bound; then the
// pattern programme of Gilmore and Gomory (1961) by column generation, whose duals
// are rounded to whole numbers and priced by an exact knapsack so that the bound
// holds without trust in floating point (Farley 1990); diving for plans; and branch
// and bound on the listed patterns whose reduced cost leaves room below the best
// plan, branching on pairs of sizes (Ryan, Foster 1981; Vanderbeck 2000).
//
// In two dimensions: greedy fillings; area and pairs of dual feasible functions; the
// same pattern programme with the guillotine recursion over raster points as pricing
// (Gilmore, Gomory 1966; Herz 1972; Cintra and others 2008); diving; and for small
// orders pricing with limited copies by best-first joins (Viswanathan, Bagchi 1993).
// There is no branch and bound there, so a gap of one sheet may stay open.
//
// The result depends on the problem alone: budgets count steps, not seconds. A
// context that ends stops the search early; the plan and bound reached by then
// are returned.
//
// The package does not know what is cut, nor does it place pieces on a roof.
package cutting
