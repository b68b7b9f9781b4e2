package browser

import (
	"strings"
	"testing"
)

// Two browsers on one job: who comes second is told what differs, chooses, and nothing was kept over what the first did.
func TestTwoBrowsersOnOneJobAreJoined(t *testing.T) {
	p := serve(t, t.TempDir())
	a := open(t, p.page, desk)
	a.tap("button", "One blank roof")
	a.until("the sheet is there", func() bool { return eval[bool](a, `document.querySelector(".sheet-svg") !== null`) })
	a.kept()
	b := open(t, eval[string](a, `location.href`), desk)
	b.until("the sheet is there", func() bool { return eval[bool](b, `document.querySelector(".sheet-svg") !== null`) })
	a.fill("textbox", "Name of the job", "Barn at Lower Mill")
	a.press("\t")
	a.kept()
	b.fill("textbox", "Name of the job", "Shed")
	b.press("\t")
	b.until("it is told", func() bool { return strings.Contains(b.words(), "Somebody else has changed this job meanwhile") })
	b.keep("joining")
	b.axe("two on one job")
	b.tap("button", "they: Barn at Lower Mill")
	b.tap("button", "Join and keep both")
	b.kept()
	// That the second is refused stands on the console.
	if faults := b.forgiven(); len(faults) != 1 || !strings.Contains(faults[0], "409") {
		t.Errorf("the console: %q", faults)
	}
	if words := b.words(); !strings.Contains(words, "Barn at Lower Mill") || strings.Contains(words, "Somebody else") {
		t.Errorf("joined it says: %s", words)
	}
}
