// Package programme finds when a roof can be done: which day and quarter hour to
// begin, when each stage then falls, and how sure that is.
//
// It takes the stages of the work in order (their length for this crew, the limits
// of weather of each, the resin films they leave behind) and one or several courses
// of the weather by the quarter hour: the members of an ensemble, or of an error
// model round a single forecast. Times are quarter hours from the first moment;
// probabilities are shares of the members, 0 to 1.
//
// # Method
//
// The stages of one roof are a chain. Between two of them lie a least and often a
// greatest lag, which the resin's hardening gives for the hour at which it was laid
// and the surface it then meets (equivalent age). For every member a stage has a
// set of quarter hours at which it may start; the sets of all members are kept as one
// word of bits for each quarter. Dynamic programming over (stage, quarter hour),
// from the last stage backwards, keeps for every start the finishes and the sets of
// members in which everything after it holds, less those that another one dominates.
// That is exact for planned start times: no plan with fixed starts holds in more
// members, or as many and sooner. Where more alternatives were met than are kept, the
// result says so and gives the bound: no plan holds in a greater share of the members.
// How wet boards are that lie bare depends on when they were begun: each plan is told with
// that, and where one that is worse off for it may have stood in another's way, the result
// does not say that it is proven. Labels are not kept apart by their boards: which boards are wet follows from when they were begun,
// which lies before the label, so that a drier one could be told from a wetter by nothing less than every beginning in every member.
//
// Plans are then held against what a crew would do: at each stage they see
// the sky of the moment, wait within the day, or stop at a sound day joint. That
// gives the share of members in which the roof is finished, left safely, or spoiled.
//
// Stages with least and greatest lags are a temporal constraint network (R. Dechter,
// I. Meiri, J. Pearl, Artificial Intelligence 49, 1991, 61–95); an impossible one is
// told as the cycle of demands that contradict each other.
//
// # What it does not do
//
// It knows no second crew: stages follow each other. The crew's pace is taken as
// given; whether a single bucket is laid in time is the business of package mixing. It
// reads no forecast and no roof: package works makes the stages of a planned roof.
package programme
