package firring

import (
	"encoding/json"

	"gelwright/working"
)

// bounded is a figure's value with its bounds.
type bounded struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

func boundedOf(f *working.Figure) bounded {
	if f == nil {
		return bounded{}
	}
	return bounded{f.Value, f.Low, f.High}
}

func (b bounded) figure(name, unit string) *working.Figure {
	return &working.Figure{Name: name, Value: b.Value, Unit: unit, Low: b.Low, High: b.High}
}

type pondFields Pond

// pondRecord is a pond as it is written.
type pondRecord struct {
	pondFields
	Depth  bounded `json:"depth_mm"`
	Volume bounded `json:"volume_l"`
}

// StoredPond is the form in which a pond is written, for a schema.
func StoredPond() any { return pondRecord{} }

// MarshalJSON writes depth and volume with their bounds.
func (p Pond) MarshalJSON() ([]byte, error) {
	return json.Marshal(pondRecord{pondFields(p), boundedOf(p.DepthMM), boundedOf(p.VolumeL)})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Pond) UnmarshalJSON(raw []byte) error {
	var r pondRecord
	if err := json.Unmarshal(raw, &r); err != nil {
		return err
	}
	*p = Pond(r.pondFields)
	p.DepthMM, p.VolumeL = r.Depth.figure("depth of the pond", "mm"), r.Volume.figure("water in the pond", "l")
	return nil
}
