// Package snow answers how much snow a flat roof carries: the flat load, the drift
// against a higher wall or roof, and the drift behind a parapet.
//
// Loads are in kN/m², lengths in m. Method: EN 1991-1-3:2003, clauses 5.2, 5.3.6,
// 6.2 and annex B, with the set of the country.
package snow
