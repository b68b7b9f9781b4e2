package weather

const (
	zeroC = 273.15
	// sigma is the Stefan–Boltzmann constant, W/(m²·K⁴) (CODATA 2018).
	sigma = 5.670374419e-8
)
