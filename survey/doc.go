// Package survey adjusts what a tape has said of a roof to an outline that closes, and says how far it may be trusted.
//
// Lengths, diagonals, offsets and corners taken as square are observations, each with its standard deviation. The corners
// are found by weighted least squares as a free network: nothing is held but the middle of the corners and their mean
// direction (C. D. Ghilani, Adjustment Computations, chapters on trilateration and on free networks; P. Meissl, inner
// constraints). Then the tape is judged: the global test of the weighted squares against chi-squared, the redundancy number
// of each observation, its normalised residual and the least blunder that would show (W. Baarda, A testing procedure for use
// in geodetic networks, Netherlands Geodetic Commission, Publications on Geodesy 2-5, Delft 1968; significance 0.1 %, power
// 80 %). What only the guess of a square corner checks is told apart from what a tape checks.
//
// Lengths in metres, angles in degrees anticlockwise, standard errors in metres. A walk round the roof is read as it is called out;
// nothing else here knows of roofs or files.
package survey
