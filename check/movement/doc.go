// Package movement answers whether heat and damp will pull the laminate apart: its
// free movement against the deck, where movement joints go, and how much strain a
// board joint puts into it with and without a bandage.
//
// Lengths in m, movements in mm, temperatures in °C, strains as fractions. No
// standard gives a joint spacing: the limits are common practice and say so.
package movement
