// Package ode integrates ordinary differential equations y′ = f(t, y) with an error
// estimate, and finds the moments at which something happens.
//
// [Solve] is the explicit pair of order 5(4) of J. R. Dormand and P. J. Prince
// (J. Comput. Appl. Math. 6, 1980, 19–26) with the step control and the dense output
// of E. Hairer, S. P. Nørsett and G. Wanner, Solving Ordinary Differential Equations I,
// 2nd ed. 1993, §II.4–II.6. An event is a sign change of a function of t and y; it is
// found on the dense output and polished by true steps of the pair, so that its time
// is as good as the solution. Equations that are stiff, such as fine grids of
// conducting layers, belong elsewhere: the pair reports that it needs too many steps.
//
// Units are the caller's. Nothing here keeps state between calls.
package ode
