package takeoff

import (
	"fmt"
	"math"
	"strings"

	"gelwright/material"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/settingout"
)

// Stock is what the firm's merchant sells and what the firm has in hand to cut from.
// Its zero value is the usual stock, nothing in hand.
type Stock struct {
	TrimLengthsM []float64
	// KerfMM is lost at each saw cut, KeepOffcutM the shortest offcut worth keeping.
	KerfMM, KeepOffcutM float64
	Offcuts             []Offcut
}

// Offcut is a length of trim, a piece of board, or a part of a roll in hand.
type Offcut struct {
	// Item is a key of the catalogue.
	Item            string
	LengthM, WidthM float64
	Count           int
	Where           string
}

// Supply puts the firm's stock in the words of the set-out: the rolls of the
// catalogue, and each offcut for the materials it can serve on this job. wastePct of mat
// is kept over on the rolls.
func Supply(s Stock, b roof.Board, wastePct float64, cat material.Catalogue, prices quantity.Prices) settingout.Supply {
	out := settingout.Supply{TrimLengthsM: s.TrimLengthsM, KerfMM: int(math.Round(s.KerfMM)), KeepMM: int(math.Round(s.KeepOffcutM * 1000)),
		MatSparePct: wastePct}
	serves := map[string][]string{}
	for _, x := range cat.Mats {
		name := fmt.Sprintf("mat %g g/m²", x.GPerM2)
		if x.Use == "tissue" {
			name = fmt.Sprintf("tissue %g g/m²", x.GPerM2)
		}
		if x.Use == "main" || x.Use == "tissue" {
			out.Rolls = append(out.Rolls, settingout.RollSize{Material: name, WidthM: x.WidthM, LengthM: x.LengthM, Sold: rollsSold(x, prices)})
			serves[x.Key] = append(serves[x.Key], name)
		}
	}
	for _, x := range cat.Boards {
		if strings.EqualFold(x.Material, b.Material) && x.ThicknessMM == b.ThicknessMM && x.TongueAndGroove == b.TongueAndGroove {
			serves[x.Key] = append(serves[x.Key], fmt.Sprintf("board %s %g mm", b.Material, b.ThicknessMM))
		}
	}
	out.TrimCostOf = trimPrices(s.TrimLengthsM, cat, prices)
	for _, name := range trimNames {
		serves[trimKey(name)] = append(serves[trimKey(name)], name)
	}
	for _, o := range s.Offcuts {
		if names := serves[o.Item]; len(names) > 0 {
			out.InHand = append(out.InHand, settingout.InHand{Materials: names, LengthMM: int(o.LengthM*1000 + 1e-6),
				WidthMM: int(o.WidthM*1000 + 1e-6), Count: o.Count, Where: o.Where})
		}
	}
	return out
}

// trimPrices are the firm's prices of the trims of each length sold, for the trims
// that have one for every length. With one length there is nothing to choose by them.
func trimPrices(lengths []float64, cat material.Catalogue, prices quantity.Prices) map[string][]float64 {
	if len(lengths) < 2 || len(prices) == 0 {
		return nil
	}
	out := map[string][]float64{}
	for _, name := range trimNames {
		var costs []float64
		for _, l := range lengths {
			key := lengthKey(cat, trimKey(name), int(math.Round(l*1000)))
			if c := prices[quantity.PriceKey{Material: key, Quantity: 1}]; c > 0 {
				costs = append(costs, float64(c)/100)
			}
		}
		if len(costs) == len(lengths) {
			out[name] = costs
		}
	}
	return out
}

// lengthKey is the key of a trim of a length: the catalogue's own key for the length
// it lists, for any other the key and the length in millimetres, "trim.drip.2400".
func lengthKey(cat material.Catalogue, key string, lengthMM int) string {
	for _, t := range cat.Trims {
		if t.Key == key && int(math.Round(t.LengthM*1000)) != lengthMM {
			return fmt.Sprintf("%s.%d", key, lengthMM)
		}
	}
	return key
}

// trimItem is the catalogue's trim of a length, or an item of that length where the
// firm buys other lengths too.
func (o *taker) trimItem(name string, lengthMM int) string {
	key := trimKey(name)
	if key == "" {
		return o.item(adHoc(name))
	}
	own := lengthKey(o.in.Catalogue, key, lengthMM)
	for _, t := range o.in.Catalogue.Trims {
		if t.Key != key || own == key {
			continue
		}
		i := t.Of(float64(lengthMM) / 1000).Item
		i.Key = own
		i.Packs = append([]material.Pack(nil), i.Packs...)
		return o.item(i)
	}
	return own
}

// rollsSold are the lengths a mat is sold in, with their prices.
func rollsSold(x material.Mat, prices quantity.Prices) []settingout.SoldRoll {
	var out []settingout.SoldRoll
	for _, p := range x.Packs {
		if x.WidthM > 0 {
			out = append(out, settingout.SoldRoll{LengthM: p.Quantity / x.WidthM,
				Cost: float64(prices[quantity.PriceKey{Material: x.Key, Quantity: p.Quantity}]) / 100})
		}
	}
	return out
}

// rollsBought takes the rolls of the cut list on to the order, so that the two name the same.
func (o *taker) rollsBought(mat settingout.Material, key string) {
	for _, r := range mat.Rolls {
		if !r.InHand {
			o.packs[key] = append(o.packs[key], float64(r.LengthMM)/1000*float64(r.WidthMM)/1000)
		}
	}
}

// takenNotes says what comes out of the firm's stock and is not bought.
func takenNotes(decks []Deck) []string {
	var out []string
	for _, d := range decks {
		for _, mat := range d.Framing.Value.Upper.Materials {
			for _, t := range mat.Taken {
				if t.Bought {
					continue
				}
				size := fmt.Sprintf("%d mm", t.LengthMM)
				if t.WidthMM > 0 {
					size = fmt.Sprintf("%d × %d mm", t.LengthMM, t.WidthMM)
				}
				note := fmt.Sprintf("from stock, not bought: %d × %s, %s", t.Count, mat.Name, size)
				if t.Where != "" {
					note += " (" + t.Where + ")"
				}
				out = append(out, note+", deck "+d.Deck.Name)
			}
		}
	}
	return out
}

// inHand is what the firm has of whole goods, with the mat cut from part rolls
// and pieces in hand, and bandage in hand, by material key.
func (in *OrderInput) inHand() map[string]float64 {
	out := map[string]float64{}
	for k, v := range in.InHand {
		out[k] += v
	}
	for k, v := range in.TakeOff.Value.TakenM2 {
		out[k] += v
	}
	for _, x := range in.Offcuts {
		for _, mat := range in.Mats {
			if mat.Key == x.Item && mat.Use == "bandage" {
				out[x.Item] += x.LengthM * float64(x.Count)
			}
		}
	}
	return out
}
