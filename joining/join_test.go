package joining

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"pgregory.net/rapid"
)

// joined joins, and holds what is told of it to what is there.
func joined(t rapidOrTest, before, mine, theirs string, choices map[string]Side) Joined {
	t.Helper()
	j, err := Join([]byte(before), []byte(mine), []byte(theirs), choices)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return j
}

type rapidOrTest interface {
	Helper()
	Fatalf(format string, args ...any)
}

func means(t rapidOrTest, what string, got []byte, want string) {
	t.Helper()
	a, err := read(got)
	if err != nil {
		t.Fatalf("%s: %v in %s", what, err, got)
	}
	b, err := read([]byte(want))
	if err != nil {
		t.Fatalf("%s: %v in %s", what, err, want)
	}
	if !equal(a, b) {
		t.Fatalf("%s:\n%s\nwant\n%s", what, got, want)
	}
}

const garage = `{"roof":{"version":1,"name":"Garage","spec":{"top_coat":{"colour":"light grey"},"layers_g_per_m2":[450]},"deck":{"name":"main",
	"outline":[[0,0],[5,0],[5,3],[0,3]],"edges":["drip","verge",{"condition":"wall","height_mm":150},"verge"],"fall":{"towards":[0,-1],"ratio":80},
	"openings":[{"kind":"rooflight","at":[1,1],"size_m":[0.6,0.6]}]}},"page":null}`

// What two change apart is in the joined roof, whoever joins; each row says what mine and theirs replace.
func TestChangesApartAreBothThere(t *testing.T) {
	for _, x := range []struct{ name, mine, mineNow, theirs, theirsNow, where string }{
		{"two fields of the job", `"name":"Garage"`, `"name":"Barn"`, `"light grey"`, `"dark grey"`, "/name: ; /spec/top_coat/colour: "},
		{"two edges", `"drip"`, `"gutter"`, `"height_mm":150`, `"height_mm":200`,
			"/decks/1/corners/1/edge/condition: deck main, edge 1; /decks/1/corners/3/edge/height_mm: deck main, edge 3"},
		{"a corner and an edge of another", `[5,0]`, `[5.5,0]`, `"wall"`, `"upstand"`,
			"/decks/1/corners/2/place: deck main, edge 2; /decks/1/corners/3/edge/condition: deck main, edge 3"},
		{"an opening more and a fall", `{"kind":"rooflight"`, `{"kind":"hatch","at":[3,1],"size_m":[0.8,0.8]},{"kind":"rooflight"`,
			`"ratio":80`, `"ratio":60`, "/decks/1/fall: deck main; /decks/1/openings/new-"},
		{"an opening gone and a word", `"openings":[{"kind":"rooflight","at":[1,1],"size_m":[0.6,0.6]}]`, `"openings":[]`,
			`"name":"main"`, `"name":"upper"`, "/decks/1/name: deck main; /decks/1/openings/1: deck main, opening 1"},
	} {
		if !strings.Contains(garage, x.mine) || !strings.Contains(garage, x.theirs) {
			t.Fatalf("%s: the row replaces what is not there", x.name)
		}
		mine, theirs := strings.Replace(garage, x.mine, x.mineNow, 1), strings.Replace(garage, x.theirs, x.theirsNow, 1)
		both := strings.Replace(strings.Replace(garage, x.mine, x.mineNow, 1), x.theirs, x.theirsNow, 1)
		both = strings.Replace(both, `"openings":[],`, "", 1)
		both = strings.Replace(both, `,"openings":[]`, "", 1) // a list of nothing is not written
		both = strings.Replace(both, "\n\t"+`"openings":[]`, "", 1)
		both = strings.Replace(both, `"ratio":80},}`, `"ratio":80}}`, 1)
		both = strings.ReplaceAll(both, ",}", "}")
		there, back := joined(t, garage, mine, theirs, nil), joined(t, garage, theirs, mine, nil)
		means(t, x.name, there.Document, both)
		means(t, x.name+", the other way round", back.Document, string(there.Document))
		var told []string
		for i, d := range there.Differences {
			told = append(told, d.Key+": "+d.Where)
			if o := back.Differences[i]; d.Clash || o.Key != d.Key || o.Taken == d.Taken {
				t.Errorf("%s: %+v is told the other way round as %+v", x.name, d, o)
			}
		}
		if got := strings.Join(told, "; "); !strings.HasPrefix(got, x.where) || there.Open() != 0 {
			t.Errorf("%s: told as %q, want %q", x.name, got, x.where)
		}
	}
}

// What two change alike is no clash; what they change otherwise is, and stands as is chosen.
func TestClashesAreChosen(t *testing.T) {
	for _, x := range []struct{ name, of, mine, theirs, where, field string }{
		{"a word", `"drip"`, `"gutter"`, `"raised"`, "deck main, edge 1", "edge.condition"},
		{"a fall is one thing", `"fall":{"towards":[0,-1],"ratio":80}`, `"fall":{"towards":[0,-1],"ratio":60}`, `"fall":{"towards":[0,1],"ratio":80}`,
			"deck main", "fall"},
		{"a place is one thing", `[5,3]`, `[5.2,3]`, `[5,3.2]`, "deck main, edge 3", "place"},
		{"changed here, gone there", `{"kind":"rooflight","at":[1,1],"size_m":[0.6,0.6]}`, `{"kind":"rooflight","at":[2,1],"size_m":[0.6,0.6]}`, ``,
			"deck main, opening 1", ""},
		{"gone here, changed there", `{"kind":"rooflight","at":[1,1],"size_m":[0.6,0.6]}`, ``, `{"kind":"rooflight","at":[2,1],"size_m":[0.6,0.6]}`,
			"deck main, opening 1", ""},
		{"a field of the job that is gone there", `"layers_g_per_m2":[450]`, `"layers_g_per_m2":[600]`, `"x":1`, "", "spec.layers_g_per_m2"},
	} {
		mine, theirs := strings.Replace(garage, x.of, x.mine, 1), strings.Replace(garage, x.of, x.theirs, 1)
		if j := joined(t, garage, mine, mine, nil); j.Open() != 0 {
			t.Errorf("%s: changed alike it is a clash: %+v", x.name, j.Differences)
		}
		j := joined(t, garage, mine, theirs, nil)
		if j.Open() != 1 {
			t.Errorf("%s: %d clashes: %+v", x.name, j.Open(), j.Differences)
			continue
		}
		var clash Difference
		for _, d := range j.Differences {
			if d.Clash {
				clash = d
			}
		}
		if clash.Where != x.where || clash.Field != x.field || clash.Taken != Mine || (clash.Mine == nil) != (x.mine == "") {
			t.Errorf("%s: told as %+v", x.name, clash)
		}
		for side, want := range map[Side]string{Mine: mine, Theirs: theirs} {
			chosen := joined(t, garage, mine, theirs, map[string]Side{clash.Key: side})
			if chosen.Open() != 0 {
				t.Errorf("%s: open after it was chosen: %+v", x.name, chosen.Differences)
			}
			if x.field != "spec.layers_g_per_m2" {
				want = strings.Replace(want, `"openings":[]`, `"openings":null`, 1)
				alone := joined(t, want, want, want, nil)
				means(t, x.name+" as "+string(side), chosen.Document, string(alone.Document))
			}
		}
	}
}

func examples(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	names, err := filepath.Glob("../examples/r*.yaml")
	if err != nil || len(names) < 10 {
		t.Fatalf("%d examples (%v)", len(names), err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := yaml.YAMLToJSON(text)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(name)] = `{"roof":` + string(raw) + `,"page":null}`
	}
	return out
}

// A document joined with one that nobody changed is itself, whatever roof it is; and there is nothing to tell of three alike.
func TestJoinedWithNothingIsTheSame(t *testing.T) {
	all := examples(t)
	for name, doc := range all {
		j := joined(t, doc, doc, doc, nil)
		means(t, name, j.Document, doc)
		if len(j.Differences) > 0 {
			t.Errorf("%s differs from itself: %+v", name, j.Differences)
		}
		other := all["r04-l-shape.yaml"]
		means(t, name+", mine alone", joined(t, doc, other, doc, nil).Document, other)
		means(t, name+", theirs alone", joined(t, doc, doc, other, nil).Document, other)
		means(t, name+", both alike", joined(t, doc, other, other, nil).Document, other)
	}
}

// The page's own form, as the page writes it: a test of the page holds the same file to its own code.
func TestTheRoofOfThePagesForm(t *testing.T) {
	raw, err := os.ReadFile("testdata/page.json")
	if err != nil {
		t.Fatal(err)
	}
	var documents []json.RawMessage
	if err := json.Unmarshal(raw, &documents); err != nil || len(documents) < 3 {
		t.Fatalf("%d documents (%v)", len(documents), err)
	}
	for _, d := range documents {
		read, err := documentOf(d)
		if err != nil || read.page == nil {
			t.Fatalf("%v: the page's form is not read", err)
		}
		means(t, "there and back", joined(t, string(d), string(d), string(d), nil).Document, string(d))
	}
}

// edit is a random change of a document of the page's form: of one member, which the other side leaves alone where apart is set.
func edit(t *rapid.T, doc fields, parity int) {
	page := doc["page"].(fields)["doc"].(fields)
	for n := range rapid.IntRange(0, 6).Draw(t, "edits") {
		list := page[decks].([]any)
		deck := list[rapid.IntRange(0, len(list)-1).Draw(t, "deck")].(fields)
		cs := deck[corners].([]any)
		k := rapid.IntRange(0, len(cs)/2-1).Draw(t, "corner")*2 + parity
		c := cs[k].(fields)
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			c["x"] = json.Number(rapid.SampledFrom([]string{"1", "2.5", "7"}).Draw(t, "x"))
		case 1:
			c["edge"].(fields)["condition"] = rapid.SampledFrom([]string{"drip", "wall", "gutter"}).Draw(t, "condition")
		case 2:
			deck["fields"].(fields)[[]string{"note_a", "note_b"}[parity]] = rapid.SampledFrom([]any{"x", true, nil}).Draw(t, "note")
		case 3:
			id := fmt.Sprintf("%s-%08d", rapid.SampledFrom([]string{"a", "k", "z"}).Draw(t, "id")+[]string{"m", "t"}[parity], n)
			list := deck["openings"].([]any)
			at := rapid.IntRange(0, len(list)).Draw(t, "at")
			piece := fields{"id": id, "fields": fields{"kind": "hatch"}}
			deck["openings"] = append(append(append([]any{}, list[:at]...), piece), list[at:]...)
		case 4:
			list := deck["openings"].([]any)
			for i, p := range list {
				if id := p.(fields)["id"].(string); strings.HasSuffix(id, []string{"0", "1"}[parity]) && len(id) < 9 {
					deck["openings"] = append(append([]any{}, list[:i]...), list[i+1:]...)
					break
				}
			}
		}
	}
}

const twoDecks = `{"roof":{},"page":{"history":{"done":[]},"doc":{"fields":{"name":"Hall"},"decks":[
	{"id":"d1","fields":{"name":"low"},"corners":[{"id":"c1","x":0,"y":0,"edge":{}},{"id":"c2","x":4,"y":0,"edge":{}},{"id":"c3","x":4,"y":4,"edge":{}},{"id":"c4","x":0,"y":4,"edge":{}}],
	 "openings":[{"id":"o0","fields":{"kind":"hatch"}},{"id":"o1","fields":{"kind":"hatch"}},{"id":"p0","fields":{}},{"id":"p1","fields":{}}],"penetrations":[],"movement_joints":[]},
	{"id":"d2","fields":{"name":"high"},"corners":[{"id":"e1","x":9,"y":0,"edge":{}},{"id":"e2","x":12,"y":0,"edge":{}},{"id":"e3","x":12,"y":4,"edge":{}},{"id":"e4","x":9,"y":4,"edge":{}}],
	 "openings":[],"penetrations":[],"movement_joints":[]}]}}}`

// Two who change different members never clash; it does not matter who joins, nor how often: what is joined with either again is
// itself, and taking my changes back again leaves theirs.
func TestTwoWhoWorkApartNeverClash(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var docs [2]string
		for i := range docs {
			v, err := read([]byte(twoDecks))
			if err != nil {
				t.Fatal(err)
			}
			edit(t, v.(fields), i)
			docs[i] = string(write(v))
		}
		there, back := joined(t, twoDecks, docs[0], docs[1], nil), joined(t, twoDecks, docs[1], docs[0], nil)
		if there.Open() > 0 {
			t.Fatalf("a clash: %+v", there.Differences)
		}
		means(t, "the other way round", back.Document, string(there.Document))
		means(t, "joined with mine again", joined(t, docs[0], docs[0], string(there.Document), nil).Document, string(there.Document))
		means(t, "joined with theirs again", joined(t, docs[1], string(there.Document), docs[1], nil).Document, string(there.Document))
		// My changes taken back: from mine to what was, in the joined document.
		undone := joined(t, docs[0], string(there.Document), twoDecks, nil)
		theirs := joined(t, twoDecks, docs[1], docs[1], nil)
		if undone.Open() == 0 {
			means(t, "my changes taken back", byIDs(t, undone.Document), string(byIDs(t, theirs.Document)))
		}
	})
}

// byIDs is the page's form with its openings in the order of their ids: where one comes back that was taken away beside one that the
// other added, either order is right.
func byIDs(t *rapid.T, raw []byte) []byte {
	v, err := read(raw)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range v.(fields)["page"].(fields)["doc"].(fields)[decks].([]any) {
		slices.SortFunc(d.(fields)["openings"].([]any), func(a, b any) int {
			return strings.Compare(a.(fields)["id"].(string), b.(fields)["id"].(string))
		})
	}
	return write(v.(fields)["page"])
}

func TestWhatIsNoDocument(t *testing.T) {
	for _, raw := range []string{"", "null", "[]", "{}", `{"roof":[]}`, `{"roof":{}} {}`, `{"roof":`} {
		if _, err := Join([]byte(raw), []byte(garage), []byte(garage), nil); err == nil || !strings.HasPrefix(err.Error(), "before: ") {
			t.Errorf("%q: %v", raw, err)
		}
	}
}

// No input breaks it, and what comes out can be joined again.
func FuzzJoin(f *testing.F) {
	f.Add(garage, strings.Replace(garage, `"drip"`, `"wall"`, 1), twoDecks)
	f.Add(twoDecks, twoDecks, strings.Replace(twoDecks, `"c2"`, `"c9"`, 1))
	f.Add(`{"roof":{"decks":[{"name":1},{}]}}`, `{"roof":{"deck":{"edges":[1,{}]}}}`, `{"roof":{"decks":[]}}`)
	f.Add(`{"roof":{"deck":{"outline":[[0,0]],"movement_joints":[3]}},"page":1}`, `{"roof":{"decks":3}}`, `{"roof":{}}`)
	f.Fuzz(func(t *testing.T, before, mine, theirs string) {
		j, err := Join([]byte(before), []byte(mine), []byte(theirs), nil)
		if err != nil {
			return
		}
		choices := map[string]Side{}
		for _, d := range j.Differences {
			if d.Clash {
				choices[d.Key] = Theirs
			}
		}
		again, err := Join([]byte(before), []byte(mine), []byte(theirs), choices)
		if err != nil || len(again.Differences) == 0 && len(choices) > 0 {
			t.Fatalf("%v after choosing %v", err, choices)
		}
		if _, err := Join(j.Document, again.Document, j.Document, nil); err != nil {
			t.Fatalf("what was joined is no document: %v in %s", err, j.Document)
		}
	})
}
