package conduction_test

import (
	"context"
	"fmt"

	"gelwright/conduction"
)

// A dark laminate on board and insulation at 12 °C meets the morning sun; the
// fresh resin in it gives off heat for a quarter of an hour.
func Example() {
	roof, err := conduction.New([]conduction.Layer{
		{Name: "laminate", ThicknessMM: 2.2, ConductivityWPerMK: 0.20, DensityKgPerM3: 1450, HeatJPerKgK: 1200},
		{Name: "board", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700},
		{Name: "insulation", ThicknessMM: 120, ConductivityWPerMK: 0.022, DensityKgPerM3: 32, HeatJPerKgK: 1400},
	}, 12, conduction.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	from, to := roof.LayerCells(0)
	morning := conduction.Drive{
		Outer: func(float64) conduction.Face {
			return conduction.Face{AirC: 14, ConvectionWPerM2K: 12, GainWPerM2: 360, Emissivity: 0.9, IncomingWPerM2: 320}
		},
		Inner: func(float64) conduction.Face { return conduction.Room(20, 0.10) },
		Source: func(tS float64, _, wPerM3, _ []float64) {
			for i := from; i < to && tS < 900; i++ {
				wPerM3[i] = 60e3
			}
		},
	}
	if err := roof.Advance(context.Background(), 0, 900, morning); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("surface %.0f °C, under the laminate %.0f °C, under the board %.0f °C\n",
		roof.SurfaceC(), roof.LayerBottomC(0), roof.LayerBottomC(1))
	// Output:
	// surface 29 °C, under the laminate 28 °C, under the board 16 °C
}
