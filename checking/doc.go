// Package checking asks the design checks of a roof that is worked out: will it carry, stay
// on, drain, move without cracks, keep heat in, stay dry, and harm nobody.
//
// It holds no rule of its own: it puts what was surveyed and planned into the words of the
// packages below check, and what they answer into results under their place.
package checking
