// Package country holds, as data, what the rules of a country set: partial
// factors, densities, loads, rainfall, targets for heat loss, exposure limits and
// the texts they come from.
//
// A set starts from the values that the Eurocodes recommend; a country's own set
// replaces what is known for it. A value that is not known is absent: Value.Known
// is false and Missing names it, so that a check can ask instead of guessing.
// Every value carries its source and standing; one recalled from memory is never
// shown as regulation. The text in force at the place outranks everything here.
package country
