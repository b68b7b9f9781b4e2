// Package gelfile reads what a firm keeps of its own gels: the log of gels seen on site
// and the law that was learned from it.
//
// The log is CSV with a heading and one gel a row: °C of the resin, catalyst in % by mass
// of resin (or in millilitres beside the kilograms of the mix), kilograms in the bucket,
// minutes to gel. Decimal points, or semicolons with decimal commas. Every fault is found
// in one reading and named by file, line and column with its remedy. The law is JSON.
package gelfile
