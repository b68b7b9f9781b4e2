package browser

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// planned waits until the plan of what is drawn stands beside it.
func (s *screen) planned() {
	s.t.Helper()
	s.until("the plan stands beside the roof", func() bool {
		return eval[bool](s, `document.querySelector(".stale") === null && /\d (boards|Platten)/.test(document.body.innerText)`)
	})
	if s.workers(); len(s.watched) == 0 {
		s.t.Error("the engine's worker is not watched")
	}
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

// What the page needs, and how long it takes: printed, for whoever looks; a figure of a machine is no test. After the first plan
// an edge is moved by keys, a step at a time: what follows at once (the quantities) and the whole plan, as the worker takes for them.
func TestHowLongThePageTakes(t *testing.T) {
	for _, example := range []string{"r01-garage", "r04-l-shape", "r12-hall"} {
		p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", example+".yaml"))
		began := time.Now()
		s := open(t, p.page, desk)
		s.until("the page is shown", func() bool { return eval[bool](s, `document.querySelector(".foot") !== null`) })
		shown := time.Since(began)
		s.planned()
		t.Logf("%s: load %s; page shown %d ms, first plan %d ms after opening", example, load(), shown.Milliseconds(), time.Since(began).Milliseconds())
		if !eval[bool](s, "crossOriginIsolated") {
			t.Error("the page is no island: it has no shared memory, and a plan cannot be stopped")
		}
		t.Logf("%s: %s", example, eval[string](s, `performance.getEntriesByType("resource").map((e) => e.name.split("/").pop() + " " + e.transferSize).join(", ") + " bytes"`))
		t.Logf("%s: first: %s", example, eval[string](s, measuresOf))
		eval[bool](s, `performance.clearMeasures() === undefined && document.querySelector(".sheet-svg").focus() === undefined`)
		s.press(kb.PageDown)
		s.press(kb.PageDown)
		for range 8 {
			s.press(kb.ArrowUp)
			s.press(kb.ArrowRight)
			s.planned()
		}
		t.Logf("%s: after edits: %s", example, eval[string](s, measuresOf))
	}
}

// measuresOf says for each kind of question how often the worker was asked and the median of its milliseconds.
const measuresOf = `Object.entries(Object.groupBy(performance.getEntriesByType("measure").filter((e) => e.name.startsWith("worker: ")), (e) => e.name.slice(8)))
	.map(([kind, all]) => kind + " " + Math.round(all.map((e) => e.duration).sort((a, b) => a - b)[all.length >> 1]) + " ms of " + all.length).join(", ")`

// load is how much else the machine does.
func load() string {
	raw, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "not known"
	}
	one, _, _ := strings.Cut(string(raw), " ")
	return one
}
