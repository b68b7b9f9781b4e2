package browser

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// opened opens the page with an example in it and waits for its plan.
func opened(t *testing.T, example string, l look) (*screen, *serving) {
	t.Helper()
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", example+".yaml"))
	s := open(t, p.page, l)
	s.planned()
	return s, p
}

// kept waits until the page says that everything is kept.
func (s *screen) kept() {
	s.t.Helper()
	s.until("the page says that it is kept", func() bool {
		said := eval[string](s, `document.querySelector("footer [role=status]")?.textContent ?? ""`)
		return strings.HasPrefix(said, "kept") || strings.HasPrefix(said, "gespeichert")
	})
}

// The sheets of the page, as the title block names them.
var sheets = []string{"Survey", "Build-up", "Set-out", "The day", "To settle", "Order", "Papers"}

// Every sheet at both sizes in each light: its picture is kept, axe finds nothing, nothing is wider than the screen.
func TestEverySheetIsOpenToEverybody(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			s, _ := opened(t, "r01-garage", l)
			for _, light := range []string{"light", "dark", "bright"} {
				eval[bool](s, fmt.Sprintf(`(() => { const c = [...document.querySelectorAll("select")].find((x) => [...x.options].some((o) => o.value === "bright"));
					c.value = %q; c.dispatchEvent(new Event("change", {bubbles: true})); return true; })()`, light))
				for _, sheet := range sheets {
					s.tap("button", sheet+"( .*)?")
					s.until(sheet+" is shown", func() bool { return len(s.things("button", sheet+"( .*)?")) > 0 })
					if light == "light" || sheet == "Survey" {
						s.keep(strings.ToLower(strings.ReplaceAll(fmt.Sprintf("%s-%s-%s", sheet, name, light), " ", "-")))
					}
					s.axe(fmt.Sprintf("%s, %s, %s", sheet, name, light))
					if w := eval[float64](s, `document.documentElement.scrollWidth`); w > float64(l.width) {
						t.Errorf("%s on the %s is %.0f wide, the screen %d", sheet, name, w, l.width)
					}
				}
			}
		})
	}
}

// What is drawn is kept as it is drawn, and can be undone after the page was loaded again.
func TestUndoAfterReload(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	name := func() string { return eval[string](s, `document.querySelector("footer h1").textContent`) }
	was := name()
	s.tap("button", "Survey .*")
	s.fill("textbox", "Name of the job", "Barn at Lower Mill")
	s.press("\t")
	s.until("the name is changed", func() bool { return name() == "Barn at Lower Mill" })
	s.kept()
	s.reload()
	s.planned()
	if name() != "Barn at Lower Mill" {
		t.Fatalf("after loading again the job is %q", name())
	}
	s.tap("button", "Undo.*")
	s.until("the name is what it was", func() bool { return name() == was })
	s.kept()
	var list struct{ Jobs []struct{ Title string } }
	if ask(t, p.url+"api/jobs", &list); len(list.Jobs) != 1 || list.Jobs[0].Title != was {
		t.Errorf("kept is %+v", list)
	}
}

// An earlier state comes back as a new one, from the list of what was done.
func TestAnOldStateIsBroughtBack(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	s.tap("button", "Survey .*")
	s.fill("textbox", "Name of the job", "Barn")
	s.press("\t")
	s.kept()
	s.tap("button", "Papers.*")
	s.tap("button", "Back to this: 1,.*")
	s.until("the job has its first name again", func() bool {
		return eval[string](s, `document.querySelector("footer h1")?.textContent ?? ""`) == "Garage at Lower Mill"
	})
	var list struct{ Jobs []struct{ ID string } }
	ask(t, p.url+"api/jobs", &list)
	var states struct{ States []struct{ Seq, Restored int } }
	if ask(t, p.url+"api/jobs/"+list.Jobs[0].ID+"/states", &states); len(states.States) < 3 || states.States[0].Restored != 1 {
		t.Errorf("the states are %+v", states)
	}
}

// A pack is reached from the page and is a pack.
func TestAPackIsDownloaded(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	s.tap("button", "Papers.*")
	s.until("the papers are listed", func() bool { return len(s.things("link", ".*[Ss]ite.*")) > 0 })
	s.keep("papers-listed")
	href := eval[string](s, `[...document.querySelectorAll("a")].find((a) => a.href.endsWith("site.pdf")).getAttribute("href")`)
	w, err := http.Get(strings.TrimSuffix(p.url, "/") + href)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	begin := make([]byte, 5)
	if _, err := w.Body.Read(begin); err != nil || string(begin) != "%PDF-" {
		t.Errorf("%s begins with %q (%v)", href, begin, err)
	}
	page := open(t, strings.TrimSuffix(p.url, "/")+strings.Replace(href, "site.pdf", "site.html", 1), phone)
	page.find("heading", ".*Garage at Lower Mill.*")
	page.keep("site-book-phone")
}

// ask asks the program itself.
func ask(t *testing.T, address string, into any) {
	t.Helper()
	w, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	if err := json.NewDecoder(w.Body).Decode(into); err != nil {
		t.Fatal(err)
	}
}

// roofKept is as much of a kept roof as the tests look at.
type roofKept struct {
	Deck struct {
		Outline [][2]float64 `json:"outline"`
		Edges   []any        `json:"edges"`
		Survey  struct {
			Walk string `json:"walk"`
		} `json:"survey"`
		Openings []struct {
			From, To []float64
		} `json:"openings"`
		Fall struct {
			Towards any `json:"towards"`
		} `json:"fall"`
	} `json:"deck"`
}

// job is the roof of the one job that the program keeps.
func (s *serving) job() roofKept {
	s.t.Helper()
	var list struct{ Jobs []struct{ ID string } }
	if ask(s.t, s.url+"api/jobs", &list); len(list.Jobs) != 1 {
		s.t.Fatalf("%d jobs are kept", len(list.Jobs))
	}
	var job struct {
		Document struct {
			Roof roofKept `json:"roof"`
		} `json:"document"`
	}
	ask(s.t, s.url+"api/jobs/"+list.Jobs[0].ID, &job)
	return job.Document.Roof
}

// reload loads the page again.
func (s *screen) reload() {
	s.t.Helper()
	s.do("loading again", chromedp.Reload())
}

// words are all the words on the screen; text is those of drawings too.
func (s *screen) words() string { return eval[string](s, `document.body.innerText`) }
func (s *screen) text() string  { return eval[string](s, `document.body.textContent`) }

// A worry is settled where it stands: the act is taken, the verdict turns, and it can be undone.
func TestAWorryIsSettled(t *testing.T) {
	s, _ := opened(t, "r04-l-shape", desk)
	stops := func() int { return eval[int](s, `document.querySelectorAll(".worry b.stop").length`) }
	s.tap("button", "To settle [0-9].*")
	s.until("the heat is a stop", func() bool { return stops() == 1 })
	s.tap("button", "make the insulation .*")
	s.until("it is settled", func() bool { return stops() == 0 && eval[bool](s, `document.querySelector(".stale") === null`) })
	s.keep("worry-settled")
	s.tap("button", "Undo.*")
	s.until("it is a stop again", func() bool { return stops() == 1 })
}

// A figure unfolds to its working, down to what was written.
func TestAWorkingIsOpened(t *testing.T) {
	s, _ := opened(t, "r04-l-shape", desk)
	s.tap("button", ".*net roof")
	s.until("the working is there", func() bool {
		text := eval[string](s, `document.querySelector(".working")?.textContent ?? ""`)
		return strings.Contains(text, "roof.yaml") && strings.Contains(text, "=")
	})
	s.keep("working-opened")
	s.axe("a working, opened")
}

// A corner is moved with the mouse: its dimension follows, the plan with it, and Escape takes a drag back.
func TestAnEdgeIsChangedAndBoardsMove(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	s.tap("button", "Set-out .*")
	boards := func() string {
		return eval[string](s, `[...document.querySelectorAll('.layer:not(.stale) [id^="piece-B"]')].map((x) => x.textContent).join(" ")`)
	}
	s.until("boards lie on the roof", func() bool { return strings.Contains(boards(), "B1") })
	was := boards()
	s.tap("button", "Survey .*")
	edge := s.find("button", "2 .*5\\.60 m")
	s.tapAt(s.middle(edge))
	s.fill("textbox", "[Ll]ength.*", "5.10")
	s.press("\t")
	s.until("the edge is shorter", func() bool { return len(s.things("button", "2 .*5\\.10 m")) == 1 })
	s.planned()
	s.tap("button", "Set-out .*")
	s.until("other boards lie there", func() bool { now := boards(); return strings.Contains(now, "B1") && now != was })
	s.keep("boards-moved")
	s.kept()
	if job := p.job(); job.Deck.Outline[2][1] != 5.1 {
		t.Errorf("kept is %+v", job)
	}
}

// A board is tapped: its number, size, stock and hour are told.
func TestABoardIsTapped(t *testing.T) {
	s, _ := opened(t, "r04-l-shape", desk)
	s.tap("button", "Set-out .*")
	s.until("the boards lie on the roof", func() bool { return eval[bool](s, `document.querySelector('[id="piece-B5"]') !== null`) })
	c := eval[[2]float64](s, `(() => { const b = document.querySelector('[id="piece-B5"]').getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height * 0.25]; })()`)
	s.tapAt(at{c[0], c[1]})
	s.find("heading", "Board B5")
	s.until("its stock and size are told", func() bool {
		w := s.words()
		return strings.Contains(w, "cut from") && strings.Contains(w, "1997 × 1220 mm")
	})
	s.keep("board-tapped")
}

// The L is drawn with a thumb: six corners tapped, closed on the first; the engine asks for what is still missing.
func TestTheLIsDrawnWithAThumb(t *testing.T) {
	p := serve(t, t.TempDir())
	s := open(t, p.page, phone)
	s.tap("button", "One blank roof")
	s.until("the sheet is there", func() bool { return eval[bool](s, `document.querySelector(".sheet-svg") !== null`) })
	box := eval[[4]float64](s, `(() => { const b = document.querySelector(".sheet-svg").getBoundingClientRect(); return [b.x, b.y, b.width, b.height]; })()`)
	for _, c := range []at{{0.2, 0.75}, {0.7, 0.75}, {0.7, 0.5}, {0.45, 0.5}, {0.45, 0.3}, {0.2, 0.3}, {0.2, 0.75}} {
		s.tapAt(at{box[0] + c.x*box[2], box[1] + c.y*box[3]})
	}
	s.until("six edges are in the list", func() bool { return len(s.things("button", "[1-6] .*")) >= 6 })
	s.until("what is missing is asked", func() bool { return strings.Contains(s.words(), "Edge 1 of 6") })
	s.keep("l-drawn")
	s.axe("the L, drawn")
	s.tap("button", "Undo.*")
	s.until("the sheet is blank again", func() bool { return strings.Contains(s.words(), "Nothing is drawn yet") })
}

// The tape is typed as it is called: the page says what nothing checks and what to measure, and the walk becomes the roof.
func TestATapeIsCalled(t *testing.T) {
	p := serve(t, t.TempDir())
	s := open(t, p.page, desk)
	s.tap("button", "One blank roof")
	s.tap("button", "Call the tape.*")
	s.tap("button", "or type the walk")
	s.fill("textbox", ".*", "7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left")
	s.tap("button", "use it")
	s.until("it says what to measure", func() bool { return regexp.MustCompile(`measure [A-F]–[A-F] next`).MatchString(s.text()) })
	s.keep("tape-called")
	s.axe("the tape, called")
	s.tap("button", "done")
	s.until("six edges are in the list", func() bool { return len(s.things("button", "[1-6] .*")) >= 6 })
	s.until("the tape is judged", func() bool { return strings.Contains(s.words(), "The tape closes") })
}

// A job alone in its file is opened with no server at all, and plans.
func TestTheOneFileJobNeedsNoServer(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r01-garage.yaml"))
	var list struct{ Jobs []struct{ ID string } }
	ask(t, p.url+"api/jobs", &list)
	w, err := http.Get(p.url + "api/jobs/" + list.Jobs[0].ID + "/onefile.html")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(w.Body)
	w.Body.Close()
	if err != nil || w.StatusCode != http.StatusOK {
		t.Fatalf("%d %v %.200s", w.StatusCode, err, raw)
	}
	file := filepath.Join(t.TempDir(), "job.html")
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	p.end()
	s := open(t, "file://"+file, desk)
	s.planned()
	s.tap("button", "Papers.*")
	s.find("button", "Site book")
	s.keep("one-file-job")
}
