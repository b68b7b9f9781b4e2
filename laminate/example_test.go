package laminate_test

import (
	"fmt"

	"gelwright/laminate"
	"gelwright/working"
)

// One mat of 450 g/m² at 2.3 of resin to one of glass, on boards that drink 0.45 kg/m².
func ExampleMake() {
	given := func(symbol string, v float64, unit string) *working.Figure {
		return working.GivenFigure(symbol, symbol, v, unit, "example")
	}
	b, err := laminate.Make(laminate.Zone{
		Key: "laminate.main", Name: "deck main", Kind: laminate.Deck, AreaM2: given("A", 17.92, "m²"), LapFactor: 1.05,
		Layers: []float64{450}, ResinToGlass: given("R", 2.3, ""), SoakKGPerM2: given("s", 0.45, "kg/m²"),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("glass %.1f kg, resin %.1f kg of which the deck drinks %.1f\n", b.GlassKG.Value, b.ResinKG.Value, b.SoakKG.Value)
	fmt.Printf("%.2f mm thick, %.1f %% glass\n", b.ThicknessMM.Value, 100*b.GlassFraction.Value)
	// Output:
	// glass 8.5 kg, resin 27.5 kg of which the deck drinks 8.1
	// 1.04 mm thick, 30.3 % glass
}
