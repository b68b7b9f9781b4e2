// Package laying knows the wet work: what laminate and top coat a deck takes, the cells that
// strips of mat are laid in, the passes of details, mat and coat in their order, the day that
// they are laid on, their buckets, and how each pass hardens.
//
// It takes decks set out and gives kg of resin by cell, buckets with their doses (see mixing),
// times in minutes after midnight of a day counted through the job, and milestones of hardening
// in minutes after mixing (see cure). One crew works through all passes; there is no forecast in
// it: every day is taken to be like the one given.
package laying
