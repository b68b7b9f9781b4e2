package settingout_test

import (
	"context"
	"errors"
	"reflect"
	"testing"

	"gelwright/settingout"
)

// countedContext is done when its Err has been asked a number of times.
type countedContext struct {
	context.Context
	asked, last int
}

func (c *countedContext) Err() error {
	if c.asked++; c.last > 0 && c.asked > c.last {
		return context.Canceled
	}
	return nil
}

// TestSetOutIsStoppedSoon: however far a set-out has come, it asks after its context
// often, and once that is done it stops within a few more questions and fails.
func TestSetOutIsStoppedSoon(t *testing.T) {
	for _, a := range acceptanceRoofs() {
		if a.id != "R04" {
			continue
		}
		spec := usual([]float64{450, 450})
		all := &countedContext{Context: context.Background()}
		if _, err := settingout.Make(all, a.decks[0], spec); err != nil {
			t.Fatal(err)
		}
		if all.asked < 1000 {
			t.Errorf("a whole set-out asks %d times whether to go on", all.asked)
		}
		for _, share := range []int{1, all.asked / 7, all.asked / 3, all.asked / 2, all.asked - 5, all.asked - 1} {
			c := &countedContext{Context: context.Background(), last: share}
			_, err := settingout.Make(c, a.decks[0], spec)
			if !errors.Is(err, context.Canceled) {
				t.Errorf("stopped at question %d of %d: %v", share, all.asked, err)
			}
			if more := c.asked - share; more > 40 {
				t.Errorf("stopped at question %d of %d: asked %d times more", share, all.asked, more)
			}
		}
	}
}

// TestTwoDecksAreThoseOfEachAlone: boards that are searched once are those that each
// deck by itself would get.
func TestTwoDecksAreThoseOfEachAlone(t *testing.T) {
	spec := usual([]float64{450})
	for _, a := range acceptanceRoofs() {
		if a.id != "R01" && a.id != "R05" && a.id != "R11" {
			continue
		}
		upper := a.decks[0]
		lower := upper
		lower.Name, lower.MovementJoints = "below", nil
		under, over, err := settingout.MakeTwo(context.Background(), lower, upper, spec, settingout.Given{})
		if err != nil {
			t.Fatal(a.id, err)
		}
		alone, err := settingout.Make(context.Background(), lower, spec)
		if err != nil {
			t.Fatal(a.id, err)
		}
		for _, k := range []settingout.Kind{settingout.Board, settingout.Noggin} {
			if !reflect.DeepEqual(under.Of(k), alone.Of(k)) {
				t.Errorf("%s: the lower deck's %ss are not those of the deck alone", a.id, k)
			}
		}
		if !reflect.DeepEqual(under.Fixings, alone.Fixings) || !reflect.DeepEqual(under.Joints, alone.Joints) || len(under.Of(settingout.Mat)) > 0 {
			t.Errorf("%s: the lower deck has other joints or fixings, or mat", a.id)
		}
		for _, end := range []string{".boards", ".joints", ".fixings", ".board_waste"} {
			if got, want := under.Figure("setout.below"+end), alone.Figure("setout.below"+end); got == nil || got.Value != want.Value || got.Formula != want.Formula {
				t.Errorf("%s: figure %s of the lower deck is %v, alone %v", a.id, end, got, want)
			}
		}
		whole, err := settingout.Make(context.Background(), upper, spec)
		if err != nil {
			t.Fatal(a.id, err)
		}
		if !reflect.DeepEqual(over.Pieces, whole.Pieces) {
			t.Errorf("%s: the upper deck is not that of the deck alone", a.id)
		}
		n := len(whole.Materials[0].Stock)
		if got, err := settingout.FewerBoards(context.Background(), upper, spec, settingout.Given{}, n+3); err != nil || got != n {
			t.Errorf("%s: %d boards, %v; the set-out has %d", a.id, got, err, n)
		}
		if got, err := settingout.FewerBoards(context.Background(), upper, spec, settingout.Given{}, 1); err != nil || got != 1 {
			t.Errorf("%s: fewer than one board: %d, %v", a.id, got, err)
		}
	}
}

// TestUpperDeckWithJointsIsSearchedItself: movement joints part the upper boards only.
func TestUpperDeckWithJointsIsSearchedItself(t *testing.T) {
	spec := usual([]float64{450})
	upper := jointed(line(5, 0, 5, 6))
	lower := upper
	lower.MovementJoints = nil
	under, over, err := settingout.MakeTwo(context.Background(), lower, upper, spec, settingout.Given{})
	if err != nil {
		t.Fatal(err)
	}
	if len(under.MovementJoints) != 0 || len(over.MovementJoints) != 1 {
		t.Errorf("%d and %d movement joints", len(under.MovementJoints), len(over.MovementJoints))
	}
	if reflect.DeepEqual(under.Of(settingout.Board), over.Of(settingout.Board)) {
		t.Error("the boards of both decks are the same, over a movement joint")
	}
}
