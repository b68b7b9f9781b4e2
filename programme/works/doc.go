// Package works makes the stages of a planned roof for package programme: how long
// each takes this crew, the weather it can stand, the resin film it leaves and what
// the next stage waits for; and it lays a forecast on that roof.
//
// It takes a plan.Plan, the catalogue it was made with, and the firm's rates of work;
// it gives programme.Stages with the figures behind their lengths, and courses of the
// roof's surface by the quarter hour. Rates are man-hours of common practice (an
// anchor of two people stripping, boarding, laminating and coating about 20 m² in a
// long day, split over the stages) until the firm's own replace them.
package works
