package survey

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/unit"
)

// most is how many corners a walk may have: more are not taped in a day.
const most = 60

// Called reads a walk as it is called from the roof: lengths and turns one after another, "7.20 left 3.20 left 4.00 right 2.40 left 3.20
// left 5.60 left". A length is in metres or bears its unit; ? is a side that could not be reached. A turn is left or right, by eye
// square; "left 45°" was measured; "left free" is known by its side only, "free" not at all. The turn at the first corner may be left
// out. Commas may stand between.
func Called(text string) (Walk, error) {
	words := strings.Fields(strings.NewReplacer(", ", " ", ";", " ", "\t", " ").Replace(strings.TrimSuffix(strings.TrimSpace(text), ",")))
	var w Walk
	for len(words) > 0 {
		if len(w) == most {
			return nil, fmt.Errorf("more than %d sides", most)
		}
		length, rest, err := side(words, len(w))
		if err != nil {
			return nil, err
		}
		leg := Leg{LengthM: length, Turn: Free}
		if words = rest; len(words) > 0 {
			if leg.TurnDeg, leg.Turn, words, err = bend(words, len(w)+1); err != nil {
				return nil, err
			}
		}
		w = append(w, leg)
	}
	if len(w) < 3 {
		return nil, fmt.Errorf("%d sides make no outline: call three at least, \"4.20 left 3.10 left …\"", len(w))
	}
	return w, w.round()
}

// units that may stand apart from their number.
var apart = map[string]bool{"m": true, "mm": true, "cm": true, "ft": true, "in": true}

// side reads the length of side i.
func side(words []string, i int) (lengthM float64, rest []string, err error) {
	first, rest := words[0], words[1:]
	if first == "?" {
		return 0, rest, nil
	}
	text := first
	for len(rest) > 0 && (apart[rest[0]] || strings.HasSuffix(text, "ft") || strings.HasSuffix(text, "'")) && !turns(rest[0]) {
		text, rest = text+rest[0], rest[1:]
	}
	if x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err == nil {
		lengthM = x
	} else if lengthM, err = unit.Parse(text, unit.Metre); err != nil {
		return 0, nil, fmt.Errorf("side %d: %q is no length: write metres, \"7.20\", or ? where it could not be reached", i+1, first)
	}
	if !(lengthM >= 0.01 && lengthM <= 500) {
		return 0, nil, fmt.Errorf("side %d: %q is not between 0.01 and 500 m", i+1, text)
	}
	return lengthM, rest, nil
}

func turns(word string) bool { return word == "left" || word == "right" || word == "free" }

// bend reads the turn at corner i.
func bend(words []string, i int) (deg float64, t Turning, rest []string, err error) {
	sign := 1.0
	switch words[0] {
	case "free":
		return 0, Free, words[1:], nil
	case "right":
		sign = -1
	case "left":
	default:
		return 0, 0, nil, fmt.Errorf("corner %s: %q is no turn: say left or right, left 45° where it is not square, or free where it is "+
			"not known", CornerName(i), words[0])
	}
	rest = words[1:]
	if len(rest) > 0 && rest[0] == "free" {
		return sign, Free, rest[1:], nil
	}
	text, rest, marked := degrees(rest)
	if !marked {
		return sign * 90, Squared, rest, nil
	}
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(x > 0 && x < 180) {
		return 0, 0, nil, fmt.Errorf("corner %s: a turn of %q: write degrees between 0 and 180", CornerName(i), text)
	}
	return sign * x, Measured, rest, nil
}

// degrees takes "45°", "45deg" or "45 deg" off the front, when that stands there.
func degrees(words []string) (text string, rest []string, ok bool) {
	if len(words) == 0 {
		return "", words, false
	}
	for _, mark := range []string{"°", "degrees", "deg"} {
		if text, ok = strings.CutSuffix(words[0], mark); ok {
			return text, words[1:], true
		}
		if len(words) > 1 && words[1] == mark {
			return words[0], words[2:], true
		}
	}
	return "", words, false
}

// round holds the turns against once round, where all are known.
func (w Walk) round() error {
	sum, free := 0.0, 0
	for _, l := range w {
		if l.Turn == Free {
			free++
			continue
		}
		sum += l.TurnDeg
	}
	// One turn alone is what the others leave.
	if last := w[len(w)-1]; free == 1 && last.Turn == Free && last.TurnDeg == 0 {
		if rest := math.Abs(math.Abs(sum) - 360); rest > 175 || rest < 5 {
			return wrongTurns(sum, "without the one at A, which must turn too")
		}
		return nil
	}
	if free == 0 && math.Abs(math.Abs(sum)-360) > 10 {
		return wrongTurns(sum, "and once round is 360°")
	}
	return nil
}

func wrongTurns(sum float64, which string) error {
	return fmt.Errorf("the turns add up to %.0f° %s: a side is missing, or a turn goes the other way", math.Abs(sum), which)
}

// String says a walk as it may be called again.
func (w Walk) String() string {
	var b strings.Builder
	for i, l := range w {
		if i > 0 {
			b.WriteByte(' ')
		}
		if l.LengthM > 0 {
			b.WriteString(strconv.FormatFloat(l.LengthM, 'f', -1, 64))
		} else {
			b.WriteByte('?')
		}
		hand := " left"
		if l.TurnDeg < 0 {
			hand = " right"
		}
		switch {
		case l.Turn == Free && l.TurnDeg == 0 && i == len(w)-1:
		case l.Turn == Free && l.TurnDeg == 0:
			b.WriteString(" free")
		case l.Turn == Free:
			b.WriteString(hand + " free")
		case l.Turn == Measured:
			b.WriteString(hand + " " + strconv.FormatFloat(math.Abs(l.TurnDeg), 'f', -1, 64) + "°")
		default:
			b.WriteString(hand)
		}
	}
	return b.String()
}
