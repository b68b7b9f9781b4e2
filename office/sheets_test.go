package office_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	_ "gelwright/internal/steady"
	"gelwright/office"
	"gelwright/store"
)

func TestSheetsThatCannotBeKept(t *testing.T) {
	id := store.NewID()
	whole := office.Day{Job: id, Date: today, Part: office.Whole}
	with := func(f func(*office.Day)) office.Day { d := whole; f(&d); return d }
	long := strings.Repeat("x", store.MostText+1)
	for _, c := range []struct {
		place, words string
		sheet        office.Sheet
	}{
		{"name", "none", office.Customer{}},
		{"name", "none", office.Customer{Name: "  "}},
		{"name", "201", office.Customer{Name: long}},
		{"name", "line break", office.Customer{Name: "a\nb"}},
		{"mail", "ada", office.Customer{Name: "A", Mail: "ada"}},
		{"mail", "no address", office.Customer{Name: "A", Mail: "@example.org"}},
		{"mail", "no address", office.Customer{Name: "A", Mail: "ada@"}},
		{"mail", "one alone", office.Customer{Name: "A", Mail: "ada@example.org,bo@example.org"}},
		{"address, line 2", "201", office.Customer{Name: "A", Address: []string{"x", long}}},
		{"address", "41", office.Customer{Name: "A", Address: make([]string, 41)}},
		{"telephone", "letters cannot be read", office.Customer{Name: "A", Telephone: "\xff"}},
		{"name", "none", office.Site{}},
		{"place", "north", office.Site{Name: "A", Place: "north"}},
		{"place", "91", office.Site{Name: "A", Place: "91, 0"}},
		{"place", "181", office.Site{Name: "A", Place: "0, 181"}},
		{"mark", "no mark", office.Crew{Name: "A"}},
		{"mark", "NORTH", office.Crew{Name: "A", Mark: "NORTH"}},
		{"mark", "*", office.Crew{Name: "A", Mark: "*"}},
		{"name", "none", office.Crew{Mark: "N"}},
		{"job", "no job", office.Day{Date: today, Part: office.Whole}},
		{"job", "no id", with(func(d *office.Day) { d.Job = "1" })},
		{"crew", "no id", with(func(d *office.Day) { d.Crew = "1" })},
		{"date", "no date", with(func(d *office.Day) { d.Date = "" })},
		{"date", "1969", with(func(d *office.Day) { d.Date = "1969-12-31" })},
		{"part", "night", with(func(d *office.Day) { d.Part = "night" })},
	} {
		refuses(t, c.sheet.Check(), c.place, c.words)
	}
	for _, s := range []office.Sheet{whole, office.Crew{Name: "North", Mark: "N2", People: []string{"Asha"}},
		office.Site{Name: "Mill", Place: "-90, 180"}, office.Customer{Name: "A", Mail: "ada@example.org"}} {
		if err := s.Check(); err != nil {
			t.Errorf("%+v: %v", s, err)
		}
	}
}

func TestChangesThatCannotBeKept(t *testing.T) {
	good := office.Change{ID: store.NewID(), When: time.Unix(0, 0), Who: "Asha", Sheet: office.Crew{Name: "North", Mark: "N"}}
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	for place, change := range map[string]func(*office.Change){
		"sheet":    func(c *office.Change) { c.Sheet = nil },
		"job":      func(c *office.Change) { c.ID = "x" },
		"based_on": func(c *office.Change) { c.BasedOn = -1 },
		"who":      func(c *office.Change) { c.Who = "" },
		"what":     func(c *office.Change) { c.What = "a\nb" },
		"when":     func(c *office.Change) { c.When = time.Unix(-1, 0) },
		"mark":     func(c *office.Change) { c.Sheet = office.Crew{Name: "North"} },
	} {
		c := good
		change(&c)
		refuses(t, c.Check(), place, "")
	}
}

func TestSheetsAreReadAsTheyAreWritten(t *testing.T) {
	for _, s := range []office.Sheet{moved(t, office.Survey), office.Job{}, office.Customer{Name: "Ada", Address: []string{"1 Lane"}},
		office.Site{Name: "Mill"}, office.Crew{Name: "N", Mark: "N"}, office.Day{Job: store.NewID(), Date: today, Part: office.Morning}} {
		raw := office.Written(s)
		again, err := office.Read(s.Kind(), raw)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(office.Filled(s), again); d != "" {
			t.Errorf("%s:\n%s", raw, d)
		}
		if strings.Contains(string(raw), "null") {
			t.Errorf("%s has a list that is null", raw)
		}
	}
	for raw, words := range map[string]string{`{"nom":1}`: "nom", `{`: "read", `{} {}`: "more follows", `[]`: "read"} {
		_, err := office.Read(office.KindCrew, []byte(raw))
		refuses(t, err, "sheet", words)
	}
	_, err := office.Read("van", []byte("{}"))
	refuses(t, err, "kind", "van")
	d, err := office.Read(office.KindDay, []byte(`{}`))
	if err != nil || d.(office.Day).Part != office.Whole {
		t.Errorf("a day without a part is %+v, %v", d, err)
	}
	j, err := office.Read(office.KindJob, []byte(`{}`))
	if err != nil || j.(office.Job).Stage != office.Enquiry || j.Keys().Stage != office.Enquiry {
		t.Errorf("a job without a stage is %+v, %v", j, err)
	}
}

func TestTwoChangesAreJoined(t *testing.T) {
	was := office.Customer{Name: "Ada", Telephone: "1", Note: "n"}
	mine := office.Customer{Name: "Ada", Telephone: "2", Note: "mine", Mail: "ada@example.org"}
	theirs := office.Customer{Name: "Ada B", Telephone: "1", Note: "theirs", Mail: "ada@example.org"}
	got := office.Join(was, mine, theirs)
	var fields []string
	for _, d := range got.Differs {
		s := d.Field + " " + string(d.Was) + string(d.Mine) + string(d.Theirs)
		if d.Both {
			s += " both"
		}
		fields = append(fields, s)
	}
	want := []string{`name "Ada""Ada""Ada B"`, `note "n""mine""theirs" both`, `telephone "1""2""1"`}
	if d := cmp.Diff(want, fields); d != "" {
		t.Error(d)
	}
	sheet, err := office.Read(office.KindCustomer, got.Sheet)
	both := office.Customer{Name: "Ada B", Telephone: "2", Note: "theirs", Mail: "ada@example.org", Address: []string{}}
	if d := cmp.Diff(both, sheet); d != "" || err != nil {
		t.Error(d, err)
	}
	if new := office.Join(nil, mine, theirs); len(new.Differs) != 3 || !new.Differs[0].Both {
		t.Errorf("two that began one sheet: %+v", new)
	}
}

// TestJoinKeepsEveryChange: what one alone changed is in the joined sheet, and joining with oneself changes nothing.
func TestJoinKeepsEveryChange(t *testing.T) {
	draw := rapid.Custom(func(rt *rapid.T) office.Site {
		text := rapid.SampledFrom([]string{"", "a", "b"})
		return office.Site{Name: text.Draw(rt, "name"), Access: text.Draw(rt, "access"), Note: text.Draw(rt, "note"),
			Place: text.Draw(rt, "place")}
	})
	rapid.Check(t, func(rt *rapid.T) {
		was, mine, theirs := draw.Draw(rt, "was"), draw.Draw(rt, "mine"), draw.Draw(rt, "theirs")
		got := office.Join(was, mine, theirs)
		var sheet office.Site
		if err := json.Unmarshal(got.Sheet, &sheet); err != nil {
			rt.Fatal(err)
		}
		pick := func(was, mine, theirs string) string {
			if theirs == was {
				return mine
			}
			return theirs
		}
		want := office.Site{Name: pick(was.Name, mine.Name, theirs.Name), Access: pick(was.Access, mine.Access, theirs.Access),
			Note: pick(was.Note, mine.Note, theirs.Note), Place: pick(was.Place, mine.Place, theirs.Place), Address: []string{}}
		if d := cmp.Diff(want, sheet); d != "" {
			rt.Fatal(d)
		}
		if self := office.Join(was, mine, mine); len(self.Differs) != 0 || string(self.Sheet) == "" {
			rt.Fatalf("joined with itself: %+v", self)
		}
	})
}
