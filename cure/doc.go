// Package cure knows when a polyester mix gels, how hot it gets and when it is hard:
// in a bucket and as a film on a deck, always with a range.
//
// It takes a resin's data sheet (package material), temperatures in °C, catalyst in
// per cent by mass of resin, masses in kg, and gives times in minutes. Two models
// share one calibration.
//
// The engineering model, [Gel], is ln t = a + (E/R)(1/T − 1/T0) − n·ln(c/c0). Its
// parameters are a mean and a covariance: the sheet's points tighten a prior on the
// activation energy E and on the dose exponent n, a test cup ([Gel.WithCup]) and
// logged gels ([Learn]) tighten them further. Changing temperature is handled by
// equivalent age ([Gel.Under]).
//
// The mechanistic model, [Kinetics], eats the inhibitor first, then cures by the
// autocatalytic rate of M. R. Kamal and S. Sourour (Polym. Eng. Sci. 13, 1973, 59),
// slowed near the end by a diffusion factor that depends on temperature, so that a
// cold cure stops short. [Kinetics.Matched] scales it so that it gels, at constant
// temperature, when the engineering model says. A heat balance makes of it a
// [Bucket]; package conduction below it makes of it a [Film] on a deck.
//
// [Dose] answers the man with the jug; [AdviseDose] keeps a margin over a day's
// temperatures; [Frontier] weighs the chance of being laid in time against the
// chance of being hard in time.
//
// Dosing convention: per cent by mass of resin, everywhere. Millilitres follow from
// the catalyst's density.
//
// It knows no weather and no calendar; faces of the deck are functions of time.
package cure
