package browser

import (
	"path/filepath"
	"testing"
	"time"
)

// planned waits until the plan of what is drawn stands beside it.
func (s *screen) planned() {
	s.t.Helper()
	s.until("the plan stands beside the roof", func() bool {
		return eval[bool](s, `document.querySelector(".stale") === null && /\d boards/.test(document.body.innerText)`)
	})
}

// The first page at both sizes: one blank roof, one example; axe finds nothing.
func TestFirstPage(t *testing.T) {
	p := serve(t, t.TempDir())
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		s := open(t, p.page, l)
		s.find("button", "One blank roof")
		s.find("button", "An example to change")
		s.keep("first-" + name)
		s.axe("first page, " + name)
	}
}

// What the page needs, and how long it takes: printed, for whoever looks; a figure of a machine is no test.
func TestHowLongThePageTakes(t *testing.T) {
	for _, example := range []string{"r01-garage", "r04-l-shape"} {
		p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", example+".yaml"))
		began := time.Now()
		s := open(t, p.page, desk)
		s.planned()
		t.Logf("%s: first plan after opening %d ms", example, time.Since(began).Milliseconds())
		if !eval[bool](s, "crossOriginIsolated") {
			t.Error("the page is no island: it has no shared memory, and a plan cannot be stopped")
		}
		type size struct {
			Name    string
			Wire    float64 `json:"wire"`
			Decoded float64 `json:"decoded"`
		}
		for _, f := range eval[[]size](s, `performance.getEntriesByType("resource").map((e) => ({name: e.name, wire: e.transferSize, decoded: e.decodedBodySize}))`) {
			t.Logf("%s: %.0f bytes over the wire", f.Name, f.Wire)
		}
	}
}
