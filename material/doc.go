// Package material is what is bought for a roof: resin, top coat, catalyst, mat,
// tissue, boards, trims, fixings, insulation, consumables and tools, with
// data-sheet values, pack sizes, shelf life and hazards.
//
// The built-in catalogue is generic: it names what a thing does, never a maker.
// A firm's own file replaces its values; every built-in value carries its standing.
package material
