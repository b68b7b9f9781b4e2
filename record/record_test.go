package record

import (
	"fmt"
	"math/rand"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"os"
)

const (
	phone  = "00000000000000a1"
	tablet = "00000000000000b2"
	office = "00000000000000c3"
)

func number(v float64) *float64 { return &v }

// must appends an event.
func must(t testing.TB, s *Set, device, at string, what What, f Facts) *Event {
	t.Helper()
	e, err := s.Append(device, at, "A. Alder", what, f)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// morning is a record of two devices, with a correction, a receipt and an event taken back.
func morning(t testing.TB) *Set {
	s := New("Shed at Willow End")
	first := must(t, s, phone, "2026-05-12T08:00:00+01:00", Mixed, Facts{Bucket: 1, KG: 3, CatalystML: 57, ResinC: number(14), DeckC: number(15)})
	must(t, s, tablet, "2026-05-12T08:04:00+01:00", Reading, Facts{Measure: "deck moisture", Value: number(14.5), Unit: "%"})
	must(t, s, phone, "2026-05-12T08:12:00+01:00", Laid, Facts{Bucket: 1})
	wrong := must(t, s, tablet, "2026-05-12T08:13:00+01:00", Mixed, Facts{Bucket: 1, KG: 1, CatalystML: 19})
	must(t, s, phone, "2026-05-12T08:31:00+01:00", Gelled, Facts{Bucket: 1})
	must(t, s, tablet, "2026-05-12T08:32:00+01:00", TakenBack, Facts{Of: wrong.ID().String()})
	must(t, s, office, "2026-05-12T08:33:00+01:00", Received, Facts{Of: first.ID().String()})
	must(t, s, phone, "2026-05-12T08:34:00+01:00", Corrected, Facts{Of: first.ID().String(), Bucket: 1, KG: 3.2, CatalystML: 61, ResinC: number(14)})
	must(t, s, phone, "2026-05-12T08:40:00+01:00", Hold, Facts{Hold: 3, Reason: "coin rings, no meter on site"})
	return s
}

func TestAMorningComesToWhatWasSaid(t *testing.T) {
	got := morning(t).Replay()
	if len(got.Doubts) > 0 || len(got.Buckets) != 1 {
		t.Fatalf("doubts %q, buckets %+v", got.Doubts, got.Buckets)
	}
	b := got.Buckets[0]
	if b.KG != 3.2 || b.CatalystML != 61 || len(b.Mixes) != 1 || b.Mixes[0].First.KG != 3 || b.GelMin == nil || *b.GelMin != 31 {
		t.Errorf("bucket 1 is %+v", b)
	}
	if got.MixedKG != 3.2 || len(got.Readings) != 1 || len(got.Holds) != 1 {
		t.Errorf("the state is %+v", got)
	}
}

// Whatever byte of a record is changed is told, and so is a line that is left out, doubled with other bytes, or put elsewhere in its
// device's row. Whole lines in another order are the same record.
func TestEveryChangedByteIsTold(t *testing.T) {
	text := morning(t).Lines()
	for i := range len(text) {
		changed := []byte(text)
		changed[i] ^= 1
		if _, faults, err := ReadAll(strings.NewReader(string(changed))); err != nil || len(faults) == 0 {
			t.Fatalf("byte %d, %q, made %q: nobody noticed (%v)", i, text[i], changed[i], err)
		}
	}
	lines := strings.SplitAfter(text, "\n")
	lines = lines[:len(lines)-1]
	ends := map[string]bool{}
	for _, h := range morning(t).Heads() {
		ends[h.Hash] = true
	}
	for i, line := range lines {
		without := strings.Join(slices.Delete(slices.Clone(lines), i, i+1), "")
		s, faults, _ := ReadAll(strings.NewReader(without))
		hash, _, _ := strings.Cut(line, " ")
		if ends[hash] {
			// A device's last event is missed by who has its hash alone.
			if s.Witness(hash) == nil {
				t.Errorf("the last event %d of a device was cut off, and its hash found", i)
			}
		} else if len(faults) == 0 {
			t.Errorf("line %d left out: nobody noticed", i+1)
		}
	}
	slices.Reverse(lines)
	s, faults, err := ReadAll(strings.NewReader(strings.Join(lines, "") + lines[3]))
	if err != nil || len(faults) > 0 || s.Lines() != text {
		t.Errorf("turned round it is another record: %v %v", err, faults)
	}
}

// A later event written anew breaks the chain, though its own hash is right.
func TestAnEventWrittenAnewIsTold(t *testing.T) {
	s := morning(t)
	e := *s.events[ID{phone, 2}]
	e.Facts.Bucket = 2
	if err := e.seal(); err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(s.Lines(), s.events[ID{phone, 2}].Line(), e.Line(), 1)
	_, faults, _ := ReadAll(strings.NewReader(text))
	if len(faults) != 1 || !strings.Contains(faults[0].Error(), phone+"-3: it does not follow the event before it") {
		t.Errorf("%v", faults)
	}
	if _, err := s.Add(&e); err == nil || !strings.Contains(err.Error(), "another event has this id") {
		t.Errorf("two contents of one id: %v", err)
	}
}

// Devices write while they are apart, with clocks that are wrong; what they exchange comes late, twice and in any order. When all have
// met, all have the same record and the same state, and nothing that anybody wrote is missing. Model: the multiset of what was written.
func TestDevicesThatMeetAgree(t *testing.T) {
	runs := 10000
	if testing.Short() {
		runs = 300
	}
	for run := range runs {
		r := rand.New(rand.NewSource(int64(run)))
		devices := []string{phone, tablet, office}
		sets := map[string]*Set{}
		clock := map[string]time.Duration{}
		for _, d := range devices {
			sets[d] = New("roof")
			clock[d] = time.Duration(r.Intn(600)-300) * time.Minute
		}
		written := map[string]string{}
		var flying []struct{ to, line string }
		start := time.Date(2026, 10, 24, 22, 0, 0, 0, time.UTC)
		for step := range 5 + r.Intn(40) {
			d := devices[r.Intn(3)]
			switch r.Intn(4) {
			case 0, 1:
				at := start.Add(time.Duration(step)*time.Minute + clock[d]).Format(time.RFC3339)
				what, f := Laid, Facts{Bucket: 1 + r.Intn(4)}
				if r.Intn(2) == 0 {
					what, f = Mixed, Facts{Bucket: 1 + r.Intn(4), KG: 1 + r.Float64(), CatalystML: 20}
				} else if known := sets[d].Events(); len(known) > 0 && r.Intn(3) == 0 {
					if of := known[r.Intn(len(known))]; of.What != TakenBack {
						what, f = TakenBack, Facts{Of: of.ID().String()}
					}
				}
				e, err := sets[d].Append(d, at, "B. Birch", what, f)
				if err != nil {
					t.Fatalf("run %d: %v", run, err)
				}
				written[e.ID().String()] = e.Line()
			case 2: // all that it has goes off to another; some of it is lost, some comes twice
				to := devices[r.Intn(3)]
				for _, e := range sets[d].Events() {
					for range r.Intn(3) {
						flying = append(flying, struct{ to, line string }{to, e.Line()})
					}
				}
			case 3:
				r.Shuffle(len(flying), func(i, k int) { flying[i], flying[k] = flying[k], flying[i] })
				for _, m := range flying[:len(flying)/2] {
					arrive(t, sets[m.to], m.line)
				}
				flying = flying[len(flying)/2:]
			}
		}
		for _, from := range devices {
			for _, to := range devices {
				for _, e := range sets[from].Events() {
					arrive(t, sets[to], e.Line())
				}
			}
		}
		for _, to := range devices[:2] { // and back, so that the first have what came last
			for _, e := range sets[office].Events() {
				arrive(t, sets[to], e.Line())
			}
		}
		want := sets[phone]
		if f := want.Faults(); len(f) > 0 {
			t.Fatalf("run %d: %v", run, f)
		}
		for _, d := range devices[1:] {
			if sets[d].Lines() != want.Lines() || !reflect.DeepEqual(sets[d].Replay(), want.Replay()) {
				t.Fatalf("run %d: %s and %s do not agree", run, phone, d)
			}
		}
		if want.Len() != len(written) {
			t.Fatalf("run %d: %d events were written, %d are there", run, len(written), want.Len())
		}
		for id, line := range written {
			if want.byName(id).Line() != line {
				t.Fatalf("run %d: %s is another", run, id)
			}
		}
	}
}

func arrive(t *testing.T, s *Set, line string) {
	t.Helper()
	e, err := Read(line)
	if err == nil {
		_, err = s.Add(e)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// What a device writes after it has seen another's event stands after it, though its clock is hours behind.
func TestOrderIsOfWhatWasSeenNotOfClocks(t *testing.T) {
	s := New("roof")
	a := must(t, s, tablet, "2026-05-12T12:00:00+01:00", Mixed, Facts{Bucket: 1, KG: 1, CatalystML: 20})
	b := must(t, s, phone, "2026-05-12T07:00:00+01:00", Laid, Facts{Bucket: 1})
	if e := s.Events(); e[0] != a || e[1] != b {
		t.Errorf("%s stands before %s", e[0].ID(), e[1].ID())
	}
}

// A night in which the clocks go back: 01:50 summer time to 01:20 winter time are 30 minutes, not minus 30.
func TestAGelAcrossTheEndOfSummerTime(t *testing.T) {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	mixed := time.Date(2026, 10, 25, 0, 50, 0, 0, time.UTC).In(zone)
	s := New("roof")
	must(t, s, phone, mixed.Format(time.RFC3339), Mixed, Facts{Bucket: 1, KG: 1, CatalystML: 20})
	must(t, s, phone, mixed.Add(30*time.Minute).Format(time.RFC3339), Gelled, Facts{Bucket: 1})
	if got := s.Replay().Buckets[0]; got.GelMin == nil || *got.GelMin != 30 || got.Mixes[0].At != "2026-10-25T01:50:00+01:00" || got.Gelled != "2026-10-25T01:20:00Z" {
		t.Errorf("%+v", got)
	}
}

// A gel teaches with the mass that gelled and the dose of the mix: 57 ml in 3 kg are 9.5 ml in the half kilogram that was left.
func TestWhatAGelTeaches(t *testing.T) {
	s := New("roof")
	at := "2026-05-12T08:00:00Z"
	must(t, s, phone, at, Mixed, Facts{Bucket: 1, KG: 3, CatalystML: 57, ResinC: number(14), Batch: "A17"})
	must(t, s, phone, at, Mixed, Facts{Bucket: 2, KG: 3, CatalystML: 57})
	must(t, s, phone, at, Mixed, Facts{Bucket: 3, KG: 3, CatalystML: 57, ResinC: number(14)})
	must(t, s, phone, at, Mixed, Facts{Bucket: 4, KG: 3, CatalystML: 57, ResinC: number(14)})
	must(t, s, phone, "2026-05-12T08:31:00Z", Gelled, Facts{Bucket: 1, KG: 0.5})
	must(t, s, phone, "2026-05-12T08:31:00Z", Gelled, Facts{Bucket: 2, KG: 0.5})
	must(t, s, phone, "2026-05-12T08:31:00Z", Gelled, Facts{Bucket: 3})
	must(t, s, tablet, "2026-05-12T08:31:00Z", Gelled, Facts{Bucket: 4, KG: 0.5})
	gels, others := s.Replay().Gels()
	if want := []Gel{{"A17", 14, 9.5, 0.5, 31}}; !reflect.DeepEqual(gels, want) {
		t.Errorf("%+v", gels)
	}
	for i, want := range []string{"bucket 2: nobody measured", "bucket 3: how much was left", "bucket 4: mixing and gel"} {
		if len(others) != 3 || !strings.HasPrefix(others[i], want) {
			t.Fatalf("%q", others)
		}
	}
}

// A gel is not reckoned from two clocks.
func TestTwoClocksAreNotSubtracted(t *testing.T) {
	s := New("roof")
	must(t, s, phone, "2026-05-12T08:00:00+01:00", Mixed, Facts{Bucket: 1, KG: 1, CatalystML: 20})
	must(t, s, tablet, "2026-05-12T08:30:00+01:00", Gelled, Facts{Bucket: 1})
	if got := s.Replay().Buckets[0]; got.GelMin != nil || got.Gelled == "" {
		t.Errorf("%+v", got)
	}
}

func TestWhatCannotBeIsDoubted(t *testing.T) {
	s := New("roof")
	early := must(t, s, phone, "2026-05-12T09:30:00+01:00", Mixed, Facts{Bucket: 1, KG: 1, CatalystML: 20})
	must(t, s, tablet, "2026-05-12T09:00:00+01:00", Mixed, Facts{Bucket: 1, KG: 1, CatalystML: 20})
	must(t, s, phone, "2026-05-12T09:31:00+01:00", Laid, Facts{Bucket: 2})
	must(t, s, phone, "2026-05-12T09:31:00+01:00", ThrownAway, Facts{Bucket: 1, KG: 2.5})
	must(t, s, office, "2026-05-12T09:10:00+01:00", Received, Facts{Of: early.ID().String()})
	got := strings.Join(s.Replay().Doubts, "\n")
	for _, want := range []string{"bucket 1 was mixed 2 times (" + phone + "-1, " + tablet + "-1)", "bucket 2 was never mixed",
		"bucket 1 lost 2.50 kg and had 2.00", "the clock of " + phone + " is at least 20 min ahead"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %q", want, got)
		}
	}
}

// Two devices that correct one event apart are told of it; one that corrects itself is not.
func TestTwoCorrectionsOfOneEventAreDoubted(t *testing.T) {
	s := New("roof")
	at := "2026-05-12T09:30:00Z"
	e := must(t, s, phone, at, Mixed, Facts{Bucket: 1, KG: 3, CatalystML: 57})
	fix := Facts{Of: e.ID().String(), Bucket: 1, KG: 3, CatalystML: 60}
	must(t, s, phone, at, Corrected, fix)
	fix.KG = 2.9
	must(t, s, phone, at, Corrected, fix)
	if d := s.Replay().Doubts; len(d) != 0 {
		t.Errorf("%q", d)
	}
	fix.CatalystML = 57
	must(t, s, tablet, at, Corrected, fix)
	got := s.Replay()
	if len(got.Doubts) == 0 || !strings.Contains(got.Doubts[0], "was corrected by "+phone+"-2 and by "+tablet+"-1") || got.CatalystML != 57 {
		t.Errorf("%+v", got)
	}
}

func TestAgainstThePlan(t *testing.T) {
	s := New("roof")
	for i, kg := range []float64{3, 3.29, 3.31, 2.69} {
		must(t, s, phone, "2026-05-12T09:30:00Z", Mixed, Facts{Bucket: i + 1, KG: kg, CatalystML: 50})
	}
	must(t, s, phone, "2026-05-12T09:30:00Z", Mixed, Facts{Bucket: 9, KG: 1, CatalystML: 50})
	mixed, left := s.Replay().Against(map[int]float64{1: 3, 2: 3, 3: 3, 4: 3, 5: 3, 6: 3})
	var look []int
	for _, a := range mixed {
		if a.Look {
			look = append(look, a.Bucket)
		}
	}
	if !slices.Equal(look, []int{3, 4, 9}) || !slices.Equal(left, []int{5, 6}) {
		t.Errorf("to look at %v, left %v", look, left)
	}
}

// What an event lacks is said, and nothing is kept of it.
func TestWhatAnEventLacks(t *testing.T) {
	s := morning(t)
	n := s.Len()
	for _, c := range []struct {
		who, at string
		what    What
		facts   Facts
		want    string
	}{
		{"", "2026-05-12T09:30:00Z", Laid, Facts{Bucket: 1}, "who: nobody says so"},
		{"A", "12 May", Laid, Facts{Bucket: 1}, "is no time"},
		{"A", "2026-05-12T09:30:00Z", Mixed, Facts{Bucket: 1, KG: 2}, "bucket, kg and catalyst_ml are wanted"},
		{"A", "2026-05-12T09:30:00Z", Laid, Facts{}, "bucket is wanted"},
		{"A", "2026-05-12T09:30:00Z", Spilt, Facts{}, "kg is wanted"},
		{"A", "2026-05-12T09:30:00Z", Reading, Facts{Measure: "hardness", Value: number(30)}, "measure, value and unit"},
		{"A", "2026-05-12T09:30:00Z", Hold, Facts{Hold: 2}, "a reading (value, unit) or a reason"},
		{"A", "2026-05-12T09:30:00Z", Note, Facts{}, "text or photo"},
		{"A", "2026-05-12T09:30:00Z", Note, Facts{Photo: "x"}, "not the SHA-256"},
		{"A", "2026-05-12T09:30:00Z", Mixed, Facts{Bucket: 1, KG: 2, CatalystML: 40, DeckC: number(200)}, "no roof's"},
		{"A", "2026-05-12T09:30:00Z", Corrected, Facts{Of: phone + "-99", Bucket: 1}, "no event"},
		{"A", "2026-05-12T09:30:00Z", Corrected, Facts{Of: phone + "-1", Bucket: 1}, "bucket, kg and catalyst_ml are wanted"},
		{"A", "2026-05-12T09:30:00Z", TakenBack, Facts{Of: tablet + "-3"}, "is itself \"taken back\""},
	} {
		if _, err := s.Append(phone, c.at, c.who, c.what, c.facts); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %+v: %v, wanted %q", c.what, c.facts, err, c.want)
		}
	}
	if s.Len() != n {
		t.Errorf("%d events, %d before", s.Len(), n)
	}
}

// The published description is enough to write a reader: this one is of another language and knows nothing of this package.
func TestAReaderWrittenFromTheDescription(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Fatal("python3 is wanted (apt-get install python3): ", err)
	}
	check := func(text string) (string, error) {
		path := filepath.Join(t.TempDir(), "roof.record")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, filepath.Join("testdata", "verify.py"), path).CombinedOutput()
		return string(out), err
	}
	text := morning(t).Lines()
	if out, err := check(text); err != nil || !strings.Contains(out, "9 events hold") {
		t.Fatalf("%v: %s", err, out)
	}
	lines := strings.SplitAfter(text, "\n")
	for name, broken := range map[string]string{
		"a byte":           strings.Replace(text, "\"kg\":3,", "\"kg\":4,", 1),
		"a line less":      strings.Join(slices.Delete(slices.Clone(lines), 2, 3), ""),
		"a line of others": text + fmt.Sprintf("%s {}\n", strings.Repeat("0", 64)),
	} {
		if out, err := check(broken); err == nil {
			t.Errorf("%s: the other reader noticed nothing: %s", name, out)
		}
		if _, faults, _ := ReadAll(strings.NewReader(broken)); len(faults) == 0 {
			t.Errorf("%s: ours noticed nothing", name)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, line := range strings.Split(strings.TrimSpace(morning(f).Lines()), "\n") {
		f.Add(line)
	}
	f.Add(strings.Repeat("0", 64) + " {}")
	f.Fuzz(func(t *testing.T, text string) {
		s, faults, err := ReadAll(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		s.Replay()
		if len(faults) > 0 || s.Len() == 0 {
			return
		}
		again, faults, err := ReadAll(strings.NewReader(s.Lines()))
		if err != nil || len(faults) > 0 || again.Lines() != s.Lines() {
			t.Fatalf("what was read is not read again: %v %v", err, faults)
		}
	})
}
