// Package lp solves linear programmes that grow: minimise cost·x with x ≥ 0 under
// rows Σ a·x ≥ b or ≤ b, where columns and rows are added, columns banned and
// right-hand sides changed between solves, and each solve starts from the last
// basis.
//
// It is the revised simplex method, primal and dual, with an explicit inverse of
// the basis: right for some hundreds of rows and very many short columns, as
// cutting stock has them. Every row owns an artificial column at a penalty cost, so
// a basis always exists; a programme without solution shows as a positive sum of
// penalties. Numbers carry no unit. Results are floating point: a caller that needs
// proof must round the duals and check them itself.
package lp
