package cure

// Drum is what the logs say of one drum of resin: the law's level with that drum's
// own offset in it.
type Drum struct {
	Name string        `json:"name"`
	Mean [3]float64    `json:"mean"`
	Cov  [3][3]float64 `json:"cov"`
	// Offset of ln t from the resin's own level, with its standard deviation.
	Offset   float64 `json:"offset"`
	OffsetSD float64 `json:"offset_sd"`
	Gels     int     `json:"gels"`
}
