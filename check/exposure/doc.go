// Package exposure answers who breathes what and what may be carried and stored:
// styrene in the air of sheltered work and at the neighbours, the lower explosive
// limit, the small-load rule for dangerous goods, and the words for a notice.
//
// Concentrations in mg/m³ and ppm, emissions in kg and mg/s. It is cautious by
// design: the law, the data sheets and a measured value come before it.
package exposure
