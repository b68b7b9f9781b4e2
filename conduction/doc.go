// Package conduction follows the temperatures inside a layered build-up, from the
// outer surface to the room, as the weather and the room change: transient heat
// flow in one dimension.
//
// It takes layers (outermost first: top coat, laminate, board, insulation,
// ceiling) with thickness in mm, conductivity in W/(m·K), density in kg/m³ and
// specific heat in J/(kg·K), a contact resistance below each in m²K/W where two
// layers do not touch well, and two faces. A face exchanges heat by convection
// with air, by long-wave radiation (in full, εσT⁴, or linearised), by rain that
// runs off, and takes a fixed gain such as absorbed sun. Heat released inside, for
// example by curing resin, is given per cell in W/m³, as constants or by a function
// of time and temperature. It gives temperatures in °C at the surfaces, the layer
// boundaries, any depth, and the heat that has passed each face in J/m².
//
// # Method
//
// Space: finite volumes, cell centred, with the exact series resistance between
// neighbouring centres (half cell + contact + half cell), so layers of any contrast
// conserve heat and the error falls with the square of the cell width
// (S. V. Patankar, Numerical Heat Transfer and Fluid Flow, 1980, §4.2). Each
// surface is a massless node whose balance is solved exactly, so a black coat in
// the sun shows its own temperature and not that of the first cell.
//
// Time: TR-BDF2 (R. E. Bank et al., IEEE Trans. Electron Devices 32, 1985),
// second order and L-stable, in the three-stage form with the third-order error
// estimate of M. E. Hosea and L. F. Shampine, Applied Numerical Mathematics 20
// (1996) 21–37. Stages are solved by Newton's method on a tridiagonal system, so
// a thin film over a board is no harder than the board. [Slab.Advance] chooses its
// own steps from the error; [Slab.Step] takes one step and reports it.
//
// # What it does not do
//
// No heat flow sideways, no moisture, no phase change, and properties do not
// change with temperature.
//
// # Curing resin
//
// For a film that heats itself, hand [Drive.Source] a function that fills W/m³
// for each cell and, where it is steep, its slope with temperature; the slope lets
// Newton's method follow a runaway. The function may be called several times for
// one step and must not change anything. States of its own (conversion) are best
// advanced between calls of Advance over short spans, using the cell temperatures
// before and after.
package conduction
