package quantity_test

import (
	"fmt"

	"gelwright/quantity"
)

// 22 kg of resin from pails of 5 and 20 kg: one of each is cheaper than five small
// or two large.
func ExampleCover() {
	c, err := quantity.Cover(22, []quantity.PricedPack{
		{Name: "5 kg pail", Quantity: 5, CostMinor: 2500, Priced: true},
		{Name: "20 kg pail", Quantity: 20, CostMinor: 7000, Priced: true},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range c.Packs {
		fmt.Println(p.Count, "×", p.Name)
	}
	fmt.Printf("%.2f, %g kg over\n", float64(c.CostMinor)/100, c.Surplus)
	// Output:
	// 1 × 20 kg pail
	// 1 × 5 kg pail
	// 95.00, 3 kg over
}
