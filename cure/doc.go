// Package cure knows when a polyester mix gels, how hot it gets and when it is hard:
// in a bucket and as a film on a deck, always with a range.
//
// It takes a resin's data sheet (package material), temperatures in °C, catalyst in
// per cent by mass of resin, masses in kg, and gives times in minutes. Two models
// share one calibration.
//
// # The gel law
//
// [Gel] is ln t = a + (E/R)(1/T − 1/T0) − n·ln(c/c0), T0 = 293.15 K, c0 = 2 %. Its
// parameters are a mean and a covariance: the sheet's points tighten a prior on the
// activation energy E and on the dose exponent n, a test cup ([Gel.WithCup]) and
// logged gels ([Learn]) tighten them further. A range is the 90 % prediction: the
// parameters' uncertainty, the spread between drums (from the sheet's bands) and that
// of one gel on site. It widens beyond the evidence. Outside 1–4 % and 5–35 °C, or the
// resin's own limits, the answer is a [Refusal] with remedies. Changing temperature
// is handled by equivalent age ([Gel.Under]).
//
// E is data of the resin with a spread: 40–60 kJ/mol are published for the redox stage
// (J. Appl. Polym. Sci. 102, 2006, 1870, abstract), a compiled table comes to about 80;
// between 10 and 20 °C that is a factor of 1.8 to 3.2, so no rule of doubling is used.
//
// # Kinetics
//
// [Kinetics] eats the inhibitor first, then cures by the autocatalytic rate of M. R.
// Kamal and S. Sourour (Polym. Eng. Sci. 13, 1973, 59), slowed near the end by a
// diffusion factor whose conversion rises with temperature, so that a cold cure stops
// short. [Kinetics.Matched] scales it so that it gels, at constant temperature, when
// the law says. Sets are data and the user's to replace; the built-in ones are
// illustrative: no complete published set for ketone peroxide and cobalt was at hand.
//
// A heat balance makes of it a [Bucket], which shows that mass moves the peak and hardly
// the gel, and [Kinetics.LeftOver], the danger of what is left standing. Package
// conduction below it makes of it a [Film]; the deck's heat capacity rules a film's
// peak. Each [Milestone] of hardening is a conversion fitted to the trade's times.
//
// # Answers
//
// [Dose] answers the man with the jug; [AdviseDose] and [DoseCard] keep a margin over a
// day's temperatures; [Frontier] weighs the chance of being laid in time against the
// chance of being hard in time, and names the measure when no dose does both. [NewTable]
// and [Curve] answer in about a microsecond, with their greatest error stated;
// [FilmRange] samples what is not known at fixed points, so that the same question has
// the same answer.
//
// Dosing convention: per cent by mass of resin, everywhere. Millilitres follow from
// the catalyst's density. '10 ml per kg is 1 %' is a habit and named as one.
//
// # What it does not do
//
// It knows no weather and no calendar; faces of the deck are functions of time. No
// boiling, no cracking, no inhibition by air or damp; what strong doses, fillers and
// pigments do beyond the law (they interact) is in the range only, and in a test cup.
package cure
