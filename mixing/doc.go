// Package mixing turns an area to be laid into buckets: how many, how big, how much
// catalyst, which piece of roof each covers and in what order.
//
// It takes cells (stretches of mat strip, or of top coat) with their area in m² and
// resin in kg, a crew, a resin's gel law (package cure, whose one rule chooses the
// dose), and the day's temperature. The order starts far from the exit. Two things are
// proven for it step by step: that the crew can always walk off over what is not yet
// laid, and how old each laid edge is when the next piece joins it. A bucket is no
// bigger than the crew can lay before the earliest likely gel less a margin, than their
// experience allows, and than they can carry; dose stays within the data sheet. Where
// no dose works the answer is cure's Refusal, which says what to do.
//
// A cell may say on whose edges it lies in the flow of water: those are laid before it.
// Where the way off forbids that, the way off wins, and the plan names the laps that are
// made by tucking. Movement joints part the roof into fields: no edge waits wet across
// one, people walk over, and each field is laid in one go.
//
// Catalyst is dosed in per cent by mass of resin. Millilitres follow from its density
// and are always given beside grams.
//
// It knows nothing of dates: time is minutes since midnight and a day number.
package mixing
