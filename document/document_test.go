package document

import (
	"bytes"
	"context"
	"encoding/csv"
	"flag"
	"fmt"
	stdpng "image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"

	"gelwright/check"
	"gelwright/drawing"
	"gelwright/internal/examples"
	"gelwright/plan"
	"gelwright/scene"
	"gelwright/scene/png"
	"gelwright/scene/reading"
	"gelwright/working"
)

var update = flag.Bool("update", false, "write the golden files anew")

// kept holds the books and drawings of the examples: neither is changed once made.
var kept = struct {
	sync.Mutex
	sets  map[string]*drawing.Set
	books map[string]*laid
}{sets: map[string]*drawing.Set{}, books: map[string]*laid{}}

// laid is the books of an example with all their lettering, by the name of the book.
type laid struct {
	books
	lines map[string][]placed
}

// bound calls do with each book and its lettering.
func (l *laid) bound(do func(d *pack, all []placed)) {
	for _, d := range l.all() {
		do(d, l.lines[d.name])
	}
}

// planned returns the plan and the drawings of an example roof.
func planned(t testing.TB, name string) (*plan.Plan, *drawing.Set) {
	t.Helper()
	kept.Lock()
	defer kept.Unlock()
	p := examples.Plan(t, name)
	if kept.sets[name] == nil {
		set, err := drawing.Books(p)
		if err != nil {
			t.Fatal(err)
		}
		kept.sets[name] = set
	}
	return p, kept.sets[name]
}

// written lays out the books, once a run.
func written(t testing.TB, name string) *laid {
	t.Helper()
	p, set := planned(t, name)
	kept.Lock()
	defer kept.Unlock()
	if kept.books[name] == nil {
		l := &laid{lines: map[string][]placed{}}
		made, err := newBooks(context.Background(), p, set, func(book string, x placed) { l.lines[book] = append(l.lines[book], x) })
		if err != nil {
			t.Fatal(err)
		}
		l.books = *made
		kept.books[name] = l
	}
	return kept.books[name]
}

// The four roofs whose packs are looked at page by page, and one in a locale with a
// decimal comma.
var looked = []string{"r01-garage", "r03-bay", "r04-l-shape", "r11-three-levels", "r12-hall"}

func TestNothingRunsOverThePage(t *testing.T) {
	t.Parallel()
	for _, name := range looked {
		written(t, name).bound(func(d *pack, all []placed) {
			for _, x := range all {
				if over := x.x + x.wide - x.mm; over > 0.4 {
					t.Errorf("%s, %s, page %d: %q runs %.1f mm over its place", name, d.name, x.page, x.text, over)
				}
				if x.x < left-0.1 || x.y > pageHeight-7 || x.y < 8 {
					t.Errorf("%s, %s, page %d: %q stands at %.1f, %.1f, off the page's text", name, d.name, x.page, x.text, x.x, x.y)
				}
				if strings.Contains(x.text, "\uFFFD") || strings.Contains(x.text, "??") {
					t.Errorf("%s, %s, page %d: %q holds a letter that cannot be printed", name, d.name, x.page, x.text)
				}
			}
		})
	}
}

// No two lines of lettering lie on one another.
func TestLetteringIsApart(t *testing.T) {
	for _, name := range looked {
		byPage := map[string][]placed{}
		written(t, name).bound(func(d *pack, all []placed) {
			for _, x := range all {
				if strings.TrimSpace(x.text) != "" {
					page := fmt.Sprint(d.name, ", page ", x.page)
					byPage[page] = append(byPage[page], x)
				}
			}
		})
		for page, lines := range byPage {
			sort.SliceStable(lines, func(i, j int) bool { return lines[i].y < lines[j].y })
			for i, a := range lines {
				for _, b := range lines[i+1:] {
					if b.y-a.y > 1.4 {
						break
					}
					if a.x < b.x+b.wide-0.2 && b.x < a.x+a.wide-0.2 {
						t.Errorf("%s, %s: %q and %q lie on one another", name, page, a.text, b.text)
					}
				}
			}
		}
	}
}

var markText = regexp.MustCompile(`\[(\d+)\]`)

// Every reference printed anywhere is the number of a working that stands at the end, in full or as
// a row, and each number stands there once.
func TestReferencesResolve(t *testing.T) {
	for _, name := range looked {
		heads := map[string]int{}
		used := map[string]bool{}
		d := written(t, name).workings
		readAll(d.f.Says, func(n *reading.Node) {
			for _, place := range strings.Fields(n.Name) {
				if number, numbered := strings.CutPrefix(place, "w"); numbered {
					heads[number]++
				}
			}
		})
		written(t, name).bound(func(_ *pack, all []placed) {
			for _, x := range all {
				for _, m := range markText.FindAllStringSubmatch(x.text, -1) {
					if n, err := strconv.Atoi(m[1]); err == nil && n > 0 {
						used[m[1]] = true
					}
				}
			}
		})
		for n := range used {
			// decks[0] of a default's field is no reference.
			if heads[n] != 1 {
				t.Errorf("%s: [%s] is printed, and stands %d times in the workings", name, n, heads[n])
			}
		}
		if len(heads) != len(d.refs.order) || len(heads) < 40 {
			t.Errorf("%s: %d workings stand at the end of %d that were marked", name, len(heads), len(d.refs.order))
		}
		for i, f := range d.refs.order {
			if f == nil || f.Name == "" {
				t.Errorf("%s: [%d] has no name", name, i+1)
			}
		}
	}
}

// What a person relies on bears a reference: the large figures, every row of the
// order, every bucket, every check that was worked out.
func TestReliedOnFiguresBearReferences(t *testing.T) {
	for _, name := range looked {
		p, _ := planned(t, name)
		d := written(t, name).site
		marked := map[string]bool{}
		for _, f := range d.refs.order {
			marked[f.Key] = true
		}
		want := []string{"roof.net", "roof.resin", "roof.topcoat", "roof.buckets"}
		for _, k := range p.Decks {
			want = append(want, "setout."+k.Name+".boards", "deck."+k.Name+".net", "deck."+k.Name+".rise", "laminate."+k.Name+".deck.thickness", "laminate."+k.Name+".deck.resin_rate")
		}
		for _, l := range p.Order.Schedule.Lines {
			want = append(want, l.Key)
		}
		for _, v := range []check.Verdict{check.Fail, check.Ask, check.Caution, check.Pass} {
			for _, g := range d.alikeChecks(v) {
				for _, f := range g.result.Working {
					if f.Key != "" {
						want = append(want, f.Key)
						break
					}
				}
			}
		}
		for _, key := range want {
			if _, ok := p.Workings.Find(key); !ok {
				if !strings.HasPrefix(key, "setout.") {
					t.Errorf("%s: nothing was worked out under %q", name, key)
				}
				continue
			}
			if !marked[key] {
				t.Errorf("%s: %q bears no reference", name, key)
			}
		}
		alike := d.alikeKeys()
		for _, w := range d.wetDays() {
			// Buckets that are mixed alike share a line, which refers to its first.
			begins := map[int]bool{}
			for _, r := range d.runsOf(w.mixes) {
				begins[r[0].Number] = true
			}
			for i, m := range w.mixes {
				for _, of := range []string{".catalyst_ml", ".lay_by"} {
					// Every bucket is worked in plan.json; a sheet of many that differ
					// prints the first.
					if _, ok := p.Workings.Find(mixKey(w.pass, m.Number) + of); !ok {
						t.Errorf("%s: bucket %d has no working of its%s", name, m.Number, of)
					}
					if (i == 0 || begins[m.Number] && w.workings(alike) <= mostWorked) && !marked[alike[m.Number]+of] {
						t.Errorf("%s: bucket %d bears no reference to its%s", name, m.Number, of)
					}
				}
			}
		}
		for _, x := range p.Passes {
			if x.Plan == nil {
				continue
			}
			for _, m := range x.Plan.Mixes {
				// A working that stands for another bucket has its very figure.
				f, ok := p.Workings.Find(alike[m.Number] + ".catalyst_ml")
				if !ok || f.Value-m.CatalystML > 1e-6 || m.CatalystML-f.Value > 1e-6 {
					t.Errorf("%s: bucket %d has %g ml, its working says otherwise", name, m.Number, m.CatalystML)
				}
			}
		}
	}
}

func TestPackIsTheSameTwice(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"r01-garage", "r11-three-levels"} {
		p, set := planned(t, name)
		a, err := Books(context.Background(), p, set)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Books(context.Background(), p, set)
		if err != nil {
			t.Fatal(err)
		}
		alike(t, a, b)
		la, err := LabelsPDF(p)
		if err != nil {
			t.Fatal(err)
		}
		if lb, _ := LabelsPDF(p); !bytes.Equal(la, lb) {
			t.Errorf("%s: the labels differ", name)
		}
	}
}

// Feet name the section of their own page, and drawings have none.
func TestFeetNameTheirOwnSection(t *testing.T) {
	_, set := planned(t, "r01-garage")
	sheets := map[string]int{"site": len(set.Site), "office": len(set.Office)}
	written(t, "r01-garage").bound(func(d *pack, all []placed) {
		of := d.f.PageCount()
		feet := map[int]string{}
		for _, x := range all {
			if strings.HasSuffix(x.text, fmt.Sprintf(" of %d", of)) && x.y > bottom {
				feet[x.page] = x.text
			}
		}
		if len(feet)+sheets[d.name] != of {
			t.Errorf("%s: %d feet and %d drawings on %d pages", d.name, len(feet), sheets[d.name], of)
		}
		for _, e := range d.contents {
			if strings.HasSuffix(e.title, "drawings") {
				continue
			}
			// Short sections share a page, whose foot names them all.
			end := fmt.Sprintf(", page %d of %d", e.page, of)
			if d.name != "workings" && !strings.Contains(strings.ToLower(feet[e.page]), strings.ToLower(e.title)) || !strings.HasSuffix(feet[e.page], end) {
				t.Errorf("%s: page %d has the foot %q, want %q in it", d.name, e.page, feet[e.page], e.title)
			}
		}
	})
}

func TestFilesAreTold(t *testing.T) {
	p, _ := planned(t, "r03-bay")
	var steps []string
	files, err := FilesWith(context.Background(), p, Options{Progress: func(s string) { steps = append(steps, s) }})
	if err != nil {
		t.Fatal(err)
	}
	if len(steps) < 4 {
		t.Errorf("progress told only %v", steps)
	}
	names := map[string]bool{}
	for _, f := range files {
		if names[f.Name] || len(f.Content) == 0 {
			t.Errorf("%s is there twice or empty", f.Name)
		}
		names[f.Name] = true
		if strings.HasSuffix(f.Name, ".csv") {
			rows, err := csv.NewReader(bytes.NewReader(f.Content)).ReadAll()
			if err != nil || len(rows) == 0 {
				t.Errorf("%s: %v", f.Name, err)
			}
		}
	}
	for _, n := range []string{"site.pdf", "office.pdf", "workings.pdf", "site.html", "office.html", "workings.html", "labels.pdf", "plan.json", "lists/order.csv", "lists/pieces.csv", "lists/cuts.csv", "lists/offcuts.csv", "lists/buckets.csv", "drawings/all.pdf", "drawings/01-roof-plan.svg"} {
		if !names[n] {
			t.Errorf("%s is missing", n)
		}
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Files(gone, p); err == nil {
		t.Error("a done context must end it")
	}
}

// The text of the pages of the garage's pack that bear its quantities, as the
// reader of the PDF finds it (regression only; looked at when it changes).
func TestGoldenText(t *testing.T) {
	var b strings.Builder
	written(t, "r01-garage").bound(func(d *pack, all []placed) {
		page, y := 0, -1.0
		for _, x := range all {
			if x.y > bottom || !bears(d.sections[x.page], "site book", "buckets", "dose card", "cut lists", "order list", "care sheet") {
				continue
			}
			if x.page != page {
				fmt.Fprintf(&b, "\n=== %s\n", d.sections[x.page])
				page, y = x.page, -1
			} else if x.y-y > 1 || y-x.y > 1 {
				b.WriteString("\n")
			} else {
				b.WriteString("  ")
			}
			y = x.y
			b.WriteString(x.text)
		}
	})
	path := filepath.Join("testdata", "r01-pack.txt")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: run with -update to write it", err)
	}
	if got := b.String(); got != string(want) {
		t.Errorf("the pack says other things than %s; look at the pages, then run with -update. First difference:\n%s", path, firstDifference(got, string(want)))
	}
}

func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range a {
		if i >= len(b) || a[i] != b[i] {
			w := ""
			if i < len(b) {
				w = b[i]
			}
			return fmt.Sprintf("line %d\n got: %s\nwant: %s", i+1, a[i], w)
		}
	}
	return "the golden file is longer"
}

// An independent reader (pdftotext of poppler-utils) finds all lettering in the file.
func TestPoppler(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is missing; to run this test: apt-get install poppler-utils")
	}
	p, set := planned(t, "r01-garage")
	l := written(t, "r01-garage")
	files, err := Books(context.Background(), p, set)
	if err != nil {
		t.Fatal(err)
	}
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	for i, d := range l.all() {
		path := filepath.Join(t.TempDir(), files[i].Name)
		if err := os.WriteFile(path, files[i].Content, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(tool, "-enc", "UTF-8", "-raw", path, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		pages := strings.Split(string(out), "\f")
		for k := range pages {
			pages[k] = squeeze(pages[k])
		}
		for _, x := range l.lines[d.name] {
			if x.page-1 >= len(pages) || !strings.Contains(pages[x.page-1], squeeze(x.text)) {
				t.Errorf("%s, page %d: %q is not found in the file", d.name, x.page, x.text)
			}
		}
	}
}

// The lettering has, or the pack replaces, every letter of every working.
func TestEveryWorkingCanBeLettered(t *testing.T) {
	for _, name := range looked {
		p, _ := planned(t, name)
		for _, key := range p.Workings.Keys() {
			f, _ := p.Workings.Find(key)
			for _, text := range []string{f.Name, f.Symbol, f.Formula, f.Unit, f.Note, f.Text, f.Source.String()} {
				if lacks := scene.Lacks(replaced(text)); len(lacks) > 0 {
					t.Errorf("%s, %s: %q cannot be lettered in %q", name, key, string(lacks), text)
				}
			}
		}
	}
}

// A picture with a palette shows the very pixels that were painted.
func TestPicturesKeepTheirPixels(t *testing.T) {
	_, set := planned(t, "r03-bay")
	sheets := set.Site
	painted, err := png.Image(sheets[0].Scene, pixelsPerMM)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := picture(sheets[0].Scene)
	if err != nil {
		t.Fatal(err)
	}
	back, err := stdpng.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	for y := 0; y < painted.Rect.Dy(); y += 7 {
		for x := 0; x < painted.Rect.Dx(); x += 3 {
			if r, g, b, _ := back.At(x, y).RGBA(); r>>8 != uint32(painted.RGBAAt(x, y).R) || g>>8 != uint32(painted.RGBAAt(x, y).G) || b>>8 != uint32(painted.RGBAAt(x, y).B) {
				t.Fatalf("pixel %d, %d differs", x, y)
			}
		}
	}
}

func BenchmarkPackGarage(b *testing.B) { benchPack(b, "r01-garage") }
func BenchmarkPackHall(b *testing.B)   { benchPack(b, "r12-hall") }

func benchPack(b *testing.B, name string) {
	p, set := planned(b, name)
	for b.Loop() {
		if _, err := Books(context.Background(), p, set); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFilesGarage(b *testing.B) {
	p, _ := planned(b, "r01-garage")
	for b.Loop() {
		if _, err := Files(context.Background(), p); err != nil {
			b.Fatal(err)
		}
	}
}

// Equal workings stand once, different ones apart.
func TestSharedWorkings(t *testing.T) {
	src := working.Source{Title: "x", Standing: working.Derived}
	step := func(v float64) *working.Figure {
		return working.MustFormula("q = a").Figure("step", "m", src, working.Constant("a", "base", v, "m", src))
	}
	a, b := working.MustFormula("A = q").Figure("one", "m", src, step(1)), working.MustFormula("B = q").Figure("two", "m", src, step(1))
	c := working.MustFormula("C = q").Figure("three", "m", src, step(2))
	s := sharedOf([]*working.Figure{a, b, c})
	if s.times[s.of(a.Inputs[0])] != 2 || s.times[s.of(c.Inputs[0])] != 1 {
		t.Errorf("counted %d and %d", s.times[s.of(a.Inputs[0])], s.times[s.of(c.Inputs[0])])
	}
}
