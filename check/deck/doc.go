// Package deck answers whether boards and joists are strong and stiff enough:
// bending, shear, bearing and deflection under snow, imposed load and a man's foot.
//
// Lengths in mm, loads in kN/m² and kN, stresses in N/mm². Method: EN 1995-1-1 with
// the strengths of EN 338 (timber) and EN 12369-1 (boards). Simple spans; boards on
// two or more spans are checked as the worse of one and two spans. It does not do
// notched joists, holes, or timber that has decayed.
package deck
