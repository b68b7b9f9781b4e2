package settingout

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"gelwright/roof"
)

// Rows that were parted at a corner can be kept: written into the roof file as the plan tells, they give as few boards, whole
// the same pieces, and are not searched for again.
func TestPartedRowsCanBeKept(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	met := 0
	for k := range 100 {
		d := randomRoof(r, k)
		if met == 3 || k%5 == 0 {
			continue
		}
		b := &boarded(t, d, usualSpec()).boards
		if !b.parted {
			continue
		}
		met++
		pin := b.pin()
		spec := usualSpec()
		rows := pin[strings.Index(pin, "[")+1 : strings.Index(pin, "]")]
		for _, s := range strings.Split(rows, ", ") {
			x, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatalf("roof %d: %q: %v", k, pin, err)
			}
			spec.SetOut.BoardRowsM = append(spec.SetOut.BoardRowsM, x)
		}
		if _, err := fmt.Sscanf(pin[strings.Index(pin, "board_start: "):], "board_start: %2s", &spec.SetOut.BoardStart); err != nil {
			t.Fatal(err)
		}
		kept := &boarded(t, d, spec).boards
		if kept.count > b.count || kept.broken.total() > b.broken.total() || len(kept.rows) != len(b.rows) {
			t.Errorf("roof %d: %s: %d boards in %d rows, broken %+v, for %d in %d", k, pin, kept.count, len(kept.rows), kept.broken, b.count,
				len(b.rows))
		}
		if !strings.Contains(b.keeping(roof.Pins{}), pin) || kept.keeping(spec.SetOut) != "" {
			t.Errorf("roof %d: told %q, then %q", k, b.keeping(roof.Pins{}), kept.keeping(spec.SetOut))
		}
	}
	if met < 3 {
		t.Errorf("only %d roofs have parted rows", met)
	}
}

// Rows that cannot be laid are refused with the field and the remedy.
func TestRowsThatCannotBeLaid(t *testing.T) {
	half := 0.5
	tongues := usualSpec()
	tongues.Board.TongueAndGroove = true
	for _, c := range []struct {
		spec   roof.Spec
		rows   []float64
		offset *float64
		want   string
	}{
		{usualSpec(), []float64{1.2, 1.3}, nil, "board_rows_m[1]: a row of 1.3 m is wider than a board, 1.2 m"},
		{usualSpec(), []float64{1.2}, &half, "leave one of them out"},
		{tongues, []float64{0.6}, nil, "lost its tongue"},
	} {
		c.spec.SetOut.BoardRowsM, c.spec.SetOut.BoardOffsetM = c.rows, c.offset
		_, err := Make(context.Background(), randomRoof(rand.New(rand.NewPCG(1, 2)), 0), c.spec)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "spec.set_out") {
			t.Errorf("%v: %v", c.rows, err)
		}
	}
}
