package plan

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/quantity/takeoff"
	"gelwright/roof"
)

// Engine is the version of the rules by which a plan is worked out. A release that plans
// any roof otherwise than the last one raises it.
const Engine = 1

// Identity names a plan: the same identity is the same plan, byte for byte.
type Identity struct {
	// Engine that made it.
	Engine int `json:"engine"`
	// Inputs is the SHA-256, in hexadecimal, of all that it was made from.
	Inputs string `json:"inputs"`
}

// Identity names the plan that these inputs make, before it is made. The whole catalogue
// counts, since what is not taken was weighed too.
func (in Input) Identity() (Identity, error) {
	type price struct {
		Material  string
		Quantity  float64
		CostMinor int64
	}
	canonical := struct {
		Job       roof.Job
		Catalogue material.Catalogue
		TempC     *float64
		Prices    []price
		InHand    map[string]float64
		Stock     takeoff.Stock
		Gels      map[string]cure.Gel
		Keeps     []string
		Weigh     bool
		Schedule  *laying.Schedule `json:",omitempty"`
	}{Job: in.Job, Catalogue: in.Catalogue, TempC: in.TempC, InHand: in.InHand, Stock: in.Stock, Gels: in.Gels, Keeps: in.Keeps,
		Weigh: in.Weigh, Schedule: in.Schedule}
	for k, cost := range in.Prices {
		canonical.Prices = append(canonical.Prices, price{k.Material, k.Quantity, cost})
	}
	slices.SortFunc(canonical.Prices, func(a, b price) int {
		return cmp.Or(cmp.Compare(a.Material, b.Material), cmp.Compare(a.Quantity, b.Quantity))
	})
	// The form is that of encoding/json: fields in their order, maps by key, every number in
	// the fewest digits that give it back, which is the same on every machine.
	raw, err := json.Marshal(canonical)
	if err != nil {
		return Identity{}, fmt.Errorf("inputs: %w", err)
	}
	sum := sha256.Sum256(raw)
	return Identity{Engine: Engine, Inputs: hex.EncodeToString(sum[:])}, nil
}
