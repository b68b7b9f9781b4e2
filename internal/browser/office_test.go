package browser

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// send asks the program for something with a body, and gives what it answers.
func (p *serving) send(method, path, media string, body []byte) []byte {
	p.t.Helper()
	r, err := http.NewRequestWithContext(p.t.Context(), method, strings.TrimSuffix(p.url, "/")+path, bytes.NewReader(body))
	if err != nil {
		p.t.Fatal(err)
	}
	r.Header.Set("Content-Type", media)
	w, err := http.DefaultClient.Do(r)
	if err != nil {
		p.t.Fatal(err)
	}
	defer w.Body.Close()
	raw, err := io.ReadAll(w.Body)
	if err != nil || w.StatusCode >= http.StatusBadRequest {
		p.t.Fatalf("%s %s: %d %s %v", method, path, w.StatusCode, raw, err)
	}
	return raw
}

var dated = regexp.MustCompile(`(?m)^2026-\d\d-\d\d`)

// skyFrom is the example's forecast moved to begin on a day.
func skyFrom(t *testing.T, first time.Time) []byte {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(root, "examples", "forecast.csv"))
	if err != nil {
		t.Fatal(err)
	}
	was := time.Date(2026, time.May, 11, 0, 0, 0, 0, time.UTC)
	return dated.ReplaceAllFunc(raw, func(d []byte) []byte {
		day, err := time.Parse(time.DateOnly, string(d))
		if err != nil {
			t.Fatal(err)
		}
		return []byte(first.AddDate(0, 0, int(day.Sub(was).Hours()/24)).Format(time.DateOnly))
	})
}

// dayOn is the date of the one day on the roof that is planned.
func (p *serving) dayOn() string {
	p.t.Helper()
	var days struct {
		Sheets []struct{ Sheet struct{ Date, Crew string } }
	}
	if err := json.Unmarshal(p.send("GET", "/api/office/days", "", nil), &days); err != nil || len(days.Sheets) != 1 {
		p.t.Fatalf("%d days, %v", len(days.Sheets), err)
	}
	return days.Sheets[0].Sheet.Date
}

// office opens a place of the office.
func (p *serving) office(t *testing.T, l look, place string) *screen {
	t.Helper()
	return open(t, p.url+"office.html#"+place, l)
}

// toPlace goes to another place of the office.
func (s *screen) toPlace(place string) {
	s.t.Helper()
	eval[bool](s, fmt.Sprintf("(location.hash = %q) !== null", "#"+place))
}

// overCell is the middle of a cell of the calendar.
func (s *screen) overCell(date string) at {
	s.t.Helper()
	c := eval[[]float64](s, fmt.Sprintf(`(() => { const c = document.querySelector('[data-date=%q]'); c.scrollIntoView({block: "nearest"});
		const r = c.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`, date))
	return at{c[0], c[1]}
}

const sure = `[0-9]+ in 100 that the whole roof holds`

// told waits until the line beside a roof that is carried says how sure it is on a day.
func (s *screen) told(day, words string) {
	s.t.Helper()
	says := regexp.MustCompile(regexp.QuoteMeta(day) + `[\s\S]*` + words)
	s.until("it says of "+day+": "+words, func() bool {
		return says.MatchString(eval[string](s, `document.querySelector(".told:not([hidden])")?.textContent ?? ""`))
	})
}

// A job goes its way in the office: a customer is given, a stage moved, a day planned and carried by keys and by hand with its
// chance seen before it is put down, taken back, found again, and fetched as a sheet of the week.
func TestAJobInTheOffice(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r01-garage.yaml"))
	_, job, _ := strings.Cut(p.page, "#job=")
	now := time.Now()
	p.send("PUT", "/api/jobs/"+job+"/files/forecast.csv", "text/csv", skyFrom(t, now))
	s := p.office(t, desk, "names")
	s.fill("textbox", "New crew", "North")
	s.press(kb.Tab)
	s.find("DisclosureTriangle", "N North")
	s.keep("office-names")
	s.axe("names")

	s.toPlace("chart")
	s.tap("link", "Garage at Lower Mill")
	s.fill("textbox", "New customer", "Ada Quill")
	s.press(kb.Tab)
	s.until("the customer is chosen", func() bool { return s.find("combobox", "Customer").value == "Ada Quill" })
	s.tap("button", "Move to On the roof")
	s.fill("textbox", "Why, in a few words", "a repair")
	s.tap("button", "Pass over to On the roof")
	s.until("it stands on the roof", func() bool { return len(s.things("", "stands at On the roof since .*")) > 0 })
	on := now.AddDate(0, 0, 2)
	s.tap("Date", "Plan a day")
	s.press(on.Format("01022006") + kb.Enter)
	s.until("the day is planned", func() bool { return len(s.things("Date", "Date")) == 1 })
	s.keep("office-job")
	s.axe("a job's sheet")
	if p.dayOn() != on.Format(time.DateOnly) {
		t.Errorf("planned for %s, want %s", p.dayOn(), on.Format(time.DateOnly))
	}

	s.toPlace("calendar")
	chip := "Garage at Lower Mill *day 1 of 1 *on this roof"
	s.find("button", chip)
	s.axe("calendar")
	eval[bool](s, `document.querySelector(".chip").focus() === undefined`)
	s.press(kb.Enter)
	s.press(kb.ArrowRight)
	next := on.AddDate(0, 0, 1)
	s.told(next.Format("Mon 2 Jan"), sure)
	if p.dayOn() != on.Format(time.DateOnly) {
		t.Error("it was moved before it was put down")
	}
	s.keep("office-carried")
	s.press(kb.Escape)
	s.find("button", chip)
	s.press(kb.Enter)
	s.press(kb.ArrowRight)
	s.press(kb.Enter)
	s.until("it stands a day later", func() bool { return p.dayOn() == next.Format(time.DateOnly) })

	s.until("the calendar shows it there", func() bool {
		return eval[bool](s, fmt.Sprintf(`document.querySelector('[data-date=%q] .chip') !== null`, next.Format(time.DateOnly)))
	})
	far := now.AddDate(0, 0, 15-int(now.Weekday()+6)%7) // in the third week: the forecast does not reach it
	from := s.middle(s.find("button", chip))
	s.pointer("down", from)
	to := s.overCell(on.Format(time.DateOnly))
	s.pointer("move", at{(from.x + to.x) / 2, (from.y + to.y) / 2})
	s.pointer("move", to)
	s.told(on.Format("Mon 2 Jan"), sure)
	beyond := s.overCell(far.AddDate(0, 0, 4).Format(time.DateOnly))
	s.pointer("move", beyond)
	s.told(far.AddDate(0, 0, 4).Format("Mon 2 Jan"), "not known")
	to = s.overCell(on.Format(time.DateOnly))
	s.pointer("move", to)
	s.told(on.Format("Mon 2 Jan"), sure)
	s.pointer("up", to)
	s.until("it stands where it was let go", func() bool { return p.dayOn() == on.Format(time.DateOnly) })
	s.tap("button", "Undo 2")
	s.until("the drag is taken back", func() bool { return p.dayOn() == next.Format(time.DateOnly) })
	s.tap("button", "Undo 1")
	s.until("the move by keys is taken back", func() bool { return p.dayOn() == on.Format(time.DateOnly) })
	if got := eval[string](s, `fetch(document.querySelector("caption a").href).then(async (r) => r.status + " " + (await r.text()).slice(0, 5))`); got != "200 %PDF-" {
		t.Errorf("the week's sheet: %s", got)
	}

	s.toPlace("find")
	s.fill("searchbox", ".*anything that was typed.*", "QUILL")
	s.find("link", "Ada Quill")
	s.axe("find")
}

// daysOn are the dates on which somebody stands on a roof, from the month on.
func (p *serving) daysOn() string {
	p.t.Helper()
	var days struct {
		Sheets []struct{ Sheet struct{ Date, Crew string } }
	}
	if err := json.Unmarshal(p.send("GET", "/api/office/days", "", nil), &days); err != nil {
		p.t.Fatal(err)
	}
	out := ""
	for _, d := range days.Sheets {
		out += " " + d.Sheet.Date
	}
	return out
}

// A roof of several days is put into the calendar at once and carried as one, by hand, by touch and by keys: its days keep their
// distance and skip the weekend, they are shown where they would stand, and one undo takes all of it back.
func TestARoofOfSeveralDaysIsCarriedAsOne(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r01-garage.yaml"))
	_, job, _ := strings.Cut(p.page, "#job=")
	now := time.Now()
	p.send("PUT", "/api/jobs/"+job+"/files/forecast.csv", "text/csv", skyFrom(t, now))
	monday := now.AddDate(0, 0, 7-int(now.Weekday()+6)%7)
	on := func(days ...int) string {
		out := ""
		for _, d := range days {
			out += " " + monday.AddDate(0, 0, d).Format(time.DateOnly)
		}
		return out
	}
	s := p.office(t, desk, "job="+job)
	s.tap("Date", "Its first day")
	s.press(monday.Format("01022006") + kb.Enter)
	s.chooseIn("Days", "3")
	s.until("it is told what would be", func() bool {
		return regexp.MustCompile(`3 days: .* in 100 that`).MatchString(eval[string](s, `document.querySelector("fieldset p")?.textContent ?? ""`))
	})
	s.keep("office-whole-roof")
	s.axe("a whole roof")
	s.tap("button", "Put it into the calendar")
	s.until("it stands in the calendar", func() bool { return p.daysOn() == on(0, 1, 2) })

	for _, l := range []look{desk, phone} {
		s := p.office(t, l, "calendar")
		first := "Garage at Lower Mill *day 1 of 3 *on this roof"
		from := s.middle(s.find("button", first))
		s.pointer("down", from)
		to := s.overCell(monday.AddDate(0, 0, 3).Format(time.DateOnly))
		s.pointer("move", to)
		s.told(monday.AddDate(0, 0, 3).Format("Mon 2 Jan"), "3 days: .*"+sure)
		if got := eval[int](s, `document.querySelectorAll(".ghost").length`); got != 3 {
			t.Errorf("%d of its days are shown where they would stand", got)
		}
		if got := eval[int](s, `document.querySelectorAll(".chip.carried").length`); got != 3 {
			t.Errorf("%d of its days are shown as carried", got)
		}
		s.keep("office-run-carried" + map[look]string{desk: "", phone: "-phone"}[l])
		s.axe("a run that is carried")
		s.pointer("up", to)
		s.until("it stands from Thursday, over the weekend", func() bool { return p.daysOn() == on(3, 4, 7) })
		s.tap("button", "Undo 1")
		s.until("all of it is taken back", func() bool { return p.daysOn() == on(0, 1, 2) })
	}
	s = p.office(t, desk, "calendar")
	s.find("button", "Garage at Lower Mill *day 2 of 3 *on this roof")
	eval[bool](s, `document.querySelectorAll(".chip")[1].focus() === undefined`)
	s.press(kb.Enter)
	s.press(kb.ArrowRight)
	s.told(monday.AddDate(0, 0, 2).Format("Mon 2 Jan"), sure)
	s.press(kb.Enter)
	s.until("it stands a day later", func() bool { return p.daysOn() == on(1, 2, 3) })
	s.chooseIn("Carry", "one day by itself")
	s.until("the calendar shows it there", func() bool {
		return eval[bool](s, fmt.Sprintf(`document.querySelector('[data-date=%q] .chip') !== null`, monday.AddDate(0, 0, 3).Format(time.DateOnly)))
	})
	// The calendar is painted anew when the move is kept: the focus may be on a day that is there no more.
	s.until("its last day is taken up", func() bool {
		if eval[int](s, `document.querySelectorAll(".chip.carried").length`) > 0 {
			return true
		}
		eval[bool](s, `document.querySelectorAll(".chip")[2].focus() === undefined`)
		s.press(kb.Enter)
		return false
	})
	s.press(kb.ArrowRight)
	s.told(monday.AddDate(0, 0, 4).Format("Mon 2 Jan"), sure)
	s.press(kb.Enter)
	s.until("its last day alone is moved", func() bool { return p.daysOn() == on(1, 2, 4) })
}

// In German the office says the same, on phone and desk, and nothing runs out of the screen.
func TestTheOfficeInGerman(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r01-garage.yaml"))
	_, job, _ := strings.Cut(p.page, "#job=")
	for name, l := range map[string]look{"desk": desk, "phone": phone} {
		s := p.office(t, l, "chart")
		s.find("heading", "The office")
		eval[bool](s, `localStorage.setItem("language", "de") === undefined && location.reload() === undefined`)
		s.until("the office is German", func() bool { return eval[string](s, `document.documentElement?.lang ?? ""`) == "de" })
		for place, words := range map[string]string{"chart": "Alle Aufträge nach ihrem Stand", "job=" + job: "Das ganze Dach",
			"calendar": "Noch ist keine Kolonne genannt.", "names": "Neue Kolonne", "find": "Wörter in allem, was geschrieben wurde"} {
			s.toPlace(place)
			s.until("it says "+words, func() bool { return strings.Contains(eval[string](s, `document.body?.textContent ?? ""`), words) })
			kind, _, _ := strings.Cut(place, "=")
			s.keep("office-german-" + kind + "-" + name)
			s.axe(kind + " in German, " + name)
			if wide := eval[int](s, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
				t.Errorf("%s runs %d px out of the screen", place, wide)
			}
		}
	}
}

// Two people at one job: the older change of the second is refused, what differs is shown, and both can be kept.
func TestTwoAtOneJobInTheOffice(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r01-garage.yaml"))
	_, job, _ := strings.Cut(p.page, "#job=")
	first, second := p.office(t, desk, "job="+job), p.office(t, phone, "job="+job)
	for _, s := range []*screen{first, second} {
		s.find("textbox", "Note")
	}
	first.fill("textbox", "Note", "key with the neighbour")
	first.press(kb.Tab)
	first.tap("button", "Move to Survey")
	first.until("it stands at survey", func() bool { return len(first.things("", "stands at Survey since .*")) > 0 })
	second.fill("textbox", "Add a line", "customer decides")
	second.press(kb.Tab)
	second.find("alert", "this computer changed this meanwhile.*")
	second.find("rowheader", "waits for")
	second.keep("office-clash")
	second.axe("what differs")
	if said := second.forgiven(); len(said) != 1 || !strings.Contains(said[0], "409") {
		t.Errorf("the console: %v", said)
	}
	second.tap("button", "Join: keep what either changed")
	second.until("both are kept", func() bool {
		return second.find("textbox", "Note").value == "key with the neighbour" && second.find("textbox", "Waits for 1").value == "customer decides"
	})
	second.keep("office-job-phone")
	second.axe("a job's sheet, phone")
	for _, place := range []string{"chart", "calendar", "names", "find"} {
		second.toPlace(place)
		second.until("it is shown", func() bool { return eval[bool](second, `document.querySelector("main section") !== null`) })
		second.keep("office-" + place + "-phone")
		second.axe(place + ", phone")
	}
}
