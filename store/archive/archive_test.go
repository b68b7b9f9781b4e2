package archive

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	_ "gelwright/internal/steady"
	"gelwright/office"
	"gelwright/store"
)

// noon is when all of the tests' job was done.
var noon = time.Date(2026, 5, 20, 12, 0, 0, 0, time.UTC)

// texts and pixels are what the tests' job holds.
var texts, pixels = []string{`{"deck": 1}`, `{"deck": 2}`, `["moved"]`}, []string{"pixels", ""}

// sample is a small job with all that a job may have.
func sample() Contents {
	id := store.ID(strings.Repeat("0123456789abcdef", 2))
	mark := func(n int) store.Mark {
		return store.Mark{ID: fmt.Sprint("s", n), When: noon, Who: "phone", What: "drawn"}
	}
	entry := func(n, restored int) store.Entry {
		return store.Entry{Seq: n, Mark: mark(n), Title: "Garage", Site: "1 Lower Mill", DocumentBytes: 11, Restored: restored}
	}
	a, b, c := Hash([]byte(texts[0])), Hash([]byte(texts[1])), Hash([]byte(texts[2]))
	return Contents{
		Job: store.Job{ID: id, Title: "Garage", Site: "1 Lower Mill", Created: noon, Changed: noon, Newest: 3, Group: id, Parent: id,
			ParentSeq: 7, Retired: &store.Retirement{When: noon, Who: "phone"}},
		States: []State{{Entry: entry(1, 0), Document: a}, {Entry: entry(2, 0), Document: b, Change: c}, {Entry: entry(3, 1), Document: a}},
		Files: []store.File{
			{Name: "a.jpg", MediaType: "image/jpeg", When: noon, Who: "phone", Size: 6, SHA256: Hash([]byte(pixels[0]))},
			{Name: "b.txt", MediaType: "text/plain", When: noon, Who: "phone", SHA256: Hash([]byte(pixels[1]))},
		},
	}
}

// inOffice is the small job with what the office keeps of it.
func inOffice() Contents {
	c := sample()
	id := func(n int) store.ID { return store.ID(fmt.Sprintf("%032x", n)) }
	sheet := func(kind office.Kind, id store.ID, version int, s office.Sheet) office.Record {
		return office.Record{Kind: kind, ID: id, Version: version, When: noon, Who: "phone", What: "written", Sheet: office.Filled(s)}
	}
	c.Sheets = []office.Record{sheet(office.KindCustomer, id(1), 1, office.Customer{Name: "Ada"}),
		sheet(office.KindCustomer, id(1), 2, office.Customer{Name: "Ada Quill"}), sheet(office.KindCrew, id(2), 1, office.Crew{Name: "North", Mark: "N"}),
		sheet(office.KindJob, c.Job.ID, 1, office.Job{Customer: id(1), Stage: office.Survey}),
		sheet(office.KindDay, id(3), 1, office.Day{Job: c.Job.ID, Crew: id(2), Date: "2026-06-03"})}
	return c
}

// TestSheetsThereAndBack: what the office keeps goes along, in the newer form; without it the form is that of older programs.
func TestSheetsThereAndBack(t *testing.T) {
	r, err := read(written(t, inOffice()))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(inOffice(), r.Contents); d != "" {
		t.Errorf("contents (-want +got):\n%s", d)
	}
	for want, c := range map[string]Contents{`"version": 1,`: sample(), `"version": 2,`: inOffice()} {
		for _, part := range partsOf(t, written(t, c)) {
			if part.name == manifestName && !strings.Contains(part.text, want) {
				t.Errorf("the manifest does not say %s:\n%s", want, part.text)
			}
		}
	}
}

// TestLawsOfSheets: a file whose sheets the office would not keep is refused.
func TestLawsOfSheets(t *testing.T) {
	good := partsOf(t, written(t, inOffice()))
	for _, c := range []struct{ old, new, words string }{
		{`"version": 2`, `"version": 3`, "sheet 2: its versions do not follow"},
		{`"version": 1`, `"version": 2`, "sheet 1: its versions do not follow"},
		{`"kind": "crew"`, `"kind": "van"`, "sheet 3"},
		{`"name": "North"`, `"name": ""`, "sheet 3: name"},
		{`"name": "Ada"`, `"price": 3, "name": "Ada"`, "sheet 1"},
		{`"kind": "job"`, `"more": 1, "kind": "job"`, "unknown field"},
		{`"id": "0123`, `"id": "1123`, "sheet 4: it is of another job"},
		{`"customer": "0`, `"customer": "1`, "sheet 4: it names a customer that is not in the file"},
		{`"crew": "0`, `"crew": "1`, "sheet 5: it names a crew that is not in the file"},
		{`"job": "0`, `"job": "1`, "sheet 5: it is a day of another job"},
		{`"who": "phone"`, `"who": ""`, "sheet 1: who"},
		{`"when": "2026-05-20T12:00:00Z"`, `"when": "2026-05-20T12:00:00.0001Z"`, "finer than a millisecond"},
	} {
		refused(t, officeName+" "+c.new, good.replaced(t, officeName, c.old, c.new).zipped(t), store.Damaged, c.words)
	}
	refused(t, "no sheet", good.without(officeName).with(officeName, "[]").agreed(t).zipped(t), store.Damaged, "it holds no sheet")
}

// among gives the bytes of a list by their hashes.
func among(list []string) Fetch {
	return func(hash string) ([]byte, error) {
		for _, s := range list {
			if Hash([]byte(s)) == hash {
				return []byte(s), nil
			}
		}
		return nil, errors.New("there is no such text")
	}
}

func written(t testing.TB, c Contents) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, c, among(texts), among(pixels)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func read(raw []byte) (*Reader, error) {
	return Read(context.Background(), bytes.NewReader(raw), int64(len(raw)))
}

// refused fails unless a file is refused as of a kind, with place and remedy in one line.
func refused(t *testing.T, name string, raw []byte, kind store.Kind, words string) {
	t.Helper()
	_, err := read(raw)
	var e *store.Error
	if !errors.As(err, &e) || e.Kind != kind || e.Place == "" || e.Remedy == "" || !strings.Contains(err.Error(), words) ||
		!strings.Contains(strings.ToLower(e.Remedy), "nothing of") && kind != store.TooLarge || strings.ContainsAny(err.Error(), "\n\x00") {
		t.Errorf("%s: %v (kind %d) does not say %q", name, err, store.KindOf(err), words)
	}
}

func TestThereAndBack(t *testing.T) {
	c := sample()
	raw := written(t, c)
	if !bytes.Equal(raw, written(t, c)) {
		t.Error("the same job gives other bytes")
	}
	r, err := read(raw)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(c, r.Contents); d != "" {
		t.Errorf("contents (-want +got):\n%s", d)
	}
	for _, s := range texts {
		if got, err := r.Text(Hash([]byte(s))); err != nil || string(got) != s {
			t.Errorf("text %q, %v", got, err)
		}
	}
	for _, s := range pixels {
		if got, err := r.File(Hash([]byte(s))); err != nil || string(got) != s {
			t.Errorf("file %q, %v", got, err)
		}
	}
	if _, err := r.Text(Hash([]byte("other"))); store.KindOf(err) != store.Damaged {
		t.Errorf("a text that is not there: %v", err)
	}
}

// TestNames holds the form: what lies where in the file, so that others can read it.
func TestNames(t *testing.T) {
	raw := written(t, sample())
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range z.File {
		name := f.Name
		if hash := hashIn(name, textFolder, textEnd); hash != "" {
			name = strings.Replace(name, hash, "HASH", 1)
		} else if hash := hashIn(name, fileFolder, ""); hash != "" {
			name = strings.Replace(name, hash, "HASH", 1)
		}
		got = append(got, name)
	}
	want := "job.json states.json texts/HASH.json texts/HASH.json texts/HASH.json files/HASH files/HASH manifest.json"
	if strings.Join(got, " ") != want {
		t.Errorf("it holds %s, want %s", strings.Join(got, " "), want)
	}
}

// parts are the entries of an archive as they are, to be changed and put together again.
type parts []struct{ name, text string }

func partsOf(t *testing.T, raw []byte) parts {
	t.Helper()
	r, err := read(raw)
	if err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	var out parts
	for _, f := range z.File {
		text, err := r.read(f.Name, 1<<20)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, struct{ name, text string }{f.Name, string(text)})
	}
	return out
}

// zipped puts entries together as they are.
func (p parts) zipped(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range p {
		if err := put(z, e.name, zip.Deflate, []byte(e.text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// replaced is the parts with a text in one of them replaced; the manifest is made to agree, as one who means harm would.
func (p parts) replaced(t *testing.T, name, old, new string) parts {
	t.Helper()
	out := append(parts{}, p...)
	done := false
	for i := range out {
		if out[i].name == name {
			done = strings.Contains(out[i].text, old)
			out[i].text = strings.Replace(out[i].text, old, new, 1)
		}
	}
	if !done {
		t.Fatalf("%s does not hold %q", name, old)
	}
	return out.agreed(t)
}

// agreed is the parts with a manifest of what they hold.
func (p parts) agreed(t *testing.T) parts {
	t.Helper()
	m := manifest{Format: format, Version: versionBefore}
	out := parts{}
	for _, e := range p {
		if e.name != manifestName {
			m.Entries = append(m.Entries, entry{e.name, int64(len(e.text)), Hash([]byte(e.text))})
			out = append(out, e)
		}
	}
	raw, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return append(out, struct{ name, text string }{manifestName, string(raw)})
}

func (p parts) with(name, text string) parts {
	return append(append(parts{}, p...), struct{ name, text string }{name, text})
}

func (p parts) without(name string) parts {
	out := parts{}
	for _, e := range p {
		if e.name != name {
			out = append(out, e)
		}
	}
	return out
}

func TestHostileEntries(t *testing.T) {
	good := partsOf(t, written(t, sample()))
	for _, name := range []string{"../evil", "/etc/passwd", `..\evil`, "files/../../evil", "texts/.json", "files/" + strings.Repeat("g", 64),
		"files/" + strings.Repeat("A", 64), "texts/" + strings.Repeat("a", 64), "JOB.JSON", "a\x00b\n", strings.Repeat("x", 5000)} {
		refused(t, name, good.with(name, "x").zipped(t), store.Damaged, "it is no part of a job")
		refused(t, name, good.with(name, "x").agreed(t).zipped(t), store.Damaged, "it is no part of a job")
	}
	text := textName(Hash([]byte(texts[0])))
	for _, c := range []struct {
		name  string
		parts parts
		kind  store.Kind
		words string
	}{
		{"twice", good.with(jobName, "{}"), store.Damaged, "twice"},
		{"twice in the manifest", good.replaced(t, jobName, "{", " {").doubled(t), store.Damaged, "names it twice"},
		{"missing", good.without(text), store.Damaged, "missing"},
		{"missing, agreed", good.without(text).agreed(t), store.Damaged, "document is missing"},
		{"change missing, agreed", good.without(textName(Hash([]byte(texts[2])))).agreed(t), store.Damaged, "change is missing"},
		{"file missing, agreed", good.without(fileFolder + Hash([]byte(pixels[0]))).agreed(t), store.Damaged, "bytes are missing"},
		{"no manifest", good.without(manifestName), store.Damaged, "manifest.json: it is missing"},
		{"no job", good.without(jobName).agreed(t), store.Damaged, "missing"},
		{"no states", good.without(statesName).agreed(t), store.Damaged, "missing"},
		{"not in the manifest", good.with(fileFolder+Hash([]byte("more")), "more"), store.Damaged, "does not name it"},
		{"named by nothing", good.with(fileFolder+Hash([]byte("more")), "more").agreed(t), store.Damaged, "nothing names"},
		{"another hash", good.without(text).with(text, `{"deck": 9}`).agreed(t), store.Damaged, "not the hash of its bytes"},
		{"another text", good.without(text).with(text, `{"deck": 9}`), store.Damaged, "not those that the manifest names"},
		{"longer", good.without(text).with(text, `{"deck": 19}`), store.Damaged, "its manifest says 11"},
		{"a text of 5 MB", good.without(text).with(text, strings.Repeat(" ", 5<<20)).agreed(t), store.TooLarge, "the most is"},
		{"no JSON", good.with(textName(Hash([]byte("{"))), "{").agreed(t), store.Damaged, "it is not JSON"},
	} {
		refused(t, c.name, c.parts.zipped(t), c.kind, c.words)
	}
}

// doubled is the parts with a manifest that names its first entry twice.
func (p parts) doubled(t *testing.T) parts {
	t.Helper()
	last := p[len(p)-1]
	var m manifest
	if err := json.Unmarshal([]byte(last.text), &m); err != nil {
		t.Fatal(err)
	}
	m.Entries = append(m.Entries, m.Entries[0])
	raw, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return p.without(manifestName).with(manifestName, string(raw))
}

func TestManifests(t *testing.T) {
	good := partsOf(t, written(t, sample()))
	for _, c := range []struct {
		old, new string
		kind     store.Kind
		words    string
	}{
		{`"version":1`, `"version":3`, store.Newer, "of version 3, this program reads up to 2"},
		{`"version":1`, `"version":3,"more":[1]`, store.Newer, "newer gelwright"},
		{`"version":1`, `"version":0`, store.Damaged, "not that of an exported job"},
		{`"gelwright job"`, `"other"`, store.Damaged, "not that of an exported job"},
		{`"version":1`, `"version":1,"more":1`, store.Damaged, "unknown field"},
		{`{"format"`, `[]{"format"`, store.Damaged, "not that of an exported job"},
		{`"size":11`, `"size":-1`, store.TooLarge, "it has -1 bytes"},
		{`"size":11`, `"size":12`, store.Damaged, "its manifest says 12"},
	} {
		m := good.agreed(t)
		last := &m[len(m)-1]
		if !strings.Contains(last.text, c.old) {
			t.Fatalf("the manifest does not hold %s: %s", c.old, last.text)
		}
		last.text = strings.Replace(last.text, c.old, c.new, 1)
		refused(t, c.new, m.zipped(t), c.kind, c.words)
	}
	refused(t, "junk", []byte("no zip"), store.Damaged, "no exported job")
	refused(t, "an empty zip", parts{}.zipped(t), store.Damaged, "this is no exported job")
	_, err := Read(context.Background(), bytes.NewReader(nil), store.MostImportBytes+1)
	if store.KindOf(err) != store.TooLarge {
		t.Errorf("a file of more than 1024 MB: %v", err)
	}
}

// TestLaws breaks one law of a job after the other in a file whose hashes agree.
func TestLaws(t *testing.T) {
	good := partsOf(t, written(t, sample()))
	if _, err := read(good.agreed(t).zipped(t)); err != nil {
		t.Fatal(err)
	}
	a, b := Hash([]byte(texts[0])), Hash([]byte(texts[1]))
	for _, c := range []struct{ name, old, new, words string }{
		{jobName, `"newest": 3`, `"newest": 4`, "it says 4 states, there are 3"},
		{jobName, `"id": "0`, `"id": "X`, "its id, its group or its parent is none"},
		{jobName, `"group": "0`, `"group": "X`, "its id, its group or its parent is none"},
		{jobName, `"parent": "0`, `"parent": "X`, "its id, its group or its parent is none"},
		{jobName, `"parentSeq": 7`, `"parentSeq": 0`, "copied from"},
		{jobName, `"parentSeq": 7`, `"parentSeq": -7`, "copied from"},
		{jobName, `"title": "Garage"`, `"title": "Shed"`, "not those of its states"},
		{jobName, `"site": "1`, `"site": "2`, "not those of its states"},
		{jobName, `"created": "2026`, `"created": "2025`, "not those of its states"},
		{jobName, `"changed": "2026`, `"changed": "2025`, "not those of its states"},
		{jobName, `"who": "phone"`, `"who": ""`, "by whom it was retired"},
		{jobName, `"name": "a.jpg"`, `"name": "../a.jpg"`, "file 1: file name"},
		{jobName, `"name": "a.jpg"`, `"name": "b.txt"`, "file 2: it is there twice"},
		{jobName, `"name": "a.jpg"`, `"name": "c.jpg"`, "file 2: it is there twice, or out of order"},
		{jobName, `"mediaType": "image/jpeg"`, `"mediaType": ""`, "media type"},
		{jobName, `"size": 6`, `"size": 7`, "of another length"},
		{jobName, `"files"`, `"more": 1, "files"`, "unknown field"},
		{statesName, `"seq": 2`, `"seq": 3`, "state 2: it has number 3"},
		{statesName, `"id": "s2"`, `"id": "s1"`, "there twice"},
		{statesName, `"id": "s2"`, `"id": ""`, "state 2: id"},
		{statesName, `"title": "Garage"`, `"title": ""`, "state 1"},
		{statesName, `"who": "phone"`, `"who": "a\nb"`, "control letter"},
		{statesName, `"when": "2026-05-20T12:00:00Z"`, `"when": "2026-05-20T12:00:00.0001Z"`, "finer than a millisecond"},
		{statesName, `"when": "2026`, `"when": "0001`, "when"},
		{statesName, `"documentBytes": 11`, `"documentBytes": 10`, "of another length"},
		{statesName, `"restored": 1`, `"restored": 3`, "it brings back state 3"},
		{statesName, `"restored": 1`, `"restored": 2`, "with another document"},
		{statesName, `"restored": 1`, `"restored": -1`, "it brings back state -1"},
		{statesName, a, b, "nothing names"}, // the first alone: state 3 says it brings it back
		{statesName, `[`, `[null,`, "state 1"},
	} {
		words := c.words
		if c.old == a {
			words = "with another document"
		}
		refused(t, c.name+" "+c.new, good.replaced(t, c.name, c.old, c.new).zipped(t), store.Damaged, words)
	}
	none := good.without(statesName).with(statesName, "[]").agreed(t)
	refused(t, "no state", none.zipped(t), store.Damaged, "there are 0")
}

// raw is a zip that is written by hand: one entry under a name whose header says other sizes than its stream has.
func rawZip(t *testing.T, name string, flags, method uint16, packed []byte, said uint64, times int) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for range times {
		w, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: method, Flags: flags, CRC32: crc32.ChecksumIEEE(nil),
			CompressedSize64: uint64(len(packed)), UncompressedSize64: said})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(packed); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestBombs gives files that are small and unpack to much.
func TestBombs(t *testing.T) {
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	zeros := make([]byte, 1<<20)
	for range 40 {
		if _, err := w.Write(zeros); err != nil {
			t.Fatal(err)
		}
	}
	w.Close()
	// The manifest itself unpacks to 40 MB, said or not.
	for said, words := range map[uint64]string{10: "not a valid zip file", 40 << 20: "more than the 33554432 bytes", 1 << 62: "more than the 33554432"} {
		refused(t, fmt.Sprint("a manifest that says ", said), rawZip(t, manifestName, 0, zip.Deflate, packed.Bytes(), said, 1), store.Damaged,
			words)
	}
	refused(t, "locked", rawZip(t, manifestName, 1, zip.Deflate, nil, 0, 1), store.Damaged, "packed or locked")
	refused(t, "packed otherwise", rawZip(t, manifestName, 0, 12, nil, 0, 1), store.Damaged, "packed or locked")
	// A list of entries that is longer than any job's.
	long := rawZip(t, strings.Repeat("x", 60000), 0, zip.Store, nil, 0, 700)
	refused(t, "a long list", long, store.Damaged, "longer than that of any job")
	if n := binary.LittleEndian.Uint16(long[len(long)-12:]); n != 700 {
		t.Errorf("the list has %d entries", n)
	}
	// More than 2048 MB by its manifest: refused before any of it is unpacked.
	good := partsOf(t, written(t, sample())).agreed(t)
	var m manifest
	if err := json.Unmarshal([]byte(good[len(good)-1].text), &m); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for n := range 70 {
		name := fileFolder + Hash(fmt.Append(nil, n))
		m.Entries = append(m.Entries, entry{name, store.MostFileBytes, Hash(nil)})
		if _, err := z.CreateRaw(&zip.FileHeader{Name: name, UncompressedSize64: store.MostFileBytes}); err != nil {
			t.Fatal(err)
		}
	}
	text, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range good.without(manifestName).with(manifestName, string(text)) {
		if err := put(z, e.name, zip.Deflate, []byte(e.text)); err != nil {
			t.Fatal(err)
		}
	}
	z.Close()
	refused(t, "2240 MB", b.Bytes(), store.TooLarge, "more than 2048 MB")
}

// TestOneByteChanged changes any byte of a good file: it is refused, or what it says is the same.
func TestOneByteChanged(t *testing.T) {
	c := sample()
	good := written(t, c)
	rapid.Check(t, func(rt *rapid.T) {
		raw := bytes.Clone(good)
		raw[rapid.IntRange(0, len(raw)-1).Draw(rt, "at")] ^= byte(rapid.IntRange(1, 255).Draw(rt, "by"))
		holdsOrRefuses(rt, raw, c)
	})
}

// TestCutShort gives every beginning of a good file.
func TestCutShort(t *testing.T) {
	good := written(t, sample())
	for n := range good {
		if _, err := read(good[:n]); store.KindOf(err) != store.Damaged {
			t.Errorf("%d bytes of %d: %v", n, len(good), err)
		}
	}
}

// failing is what a test and a fuzz target share with a property.
type failing interface{ Fatalf(string, ...any) }

// holdsOrRefuses reads a file that may be anything: it is refused in words, or it holds c where that is given.
func holdsOrRefuses(t failing, raw []byte, c Contents) {
	r, err := read(raw)
	if err != nil {
		var e *store.Error
		if !errors.As(err, &e) || e.Kind != store.Damaged && e.Kind != store.Newer && e.Kind != store.TooLarge || e.Found == "" || e.Remedy == "" {
			t.Fatalf("refused without words: %v", err)
		}
		return
	}
	if d := cmp.Diff(c, r.Contents); c.Job.ID != "" && d != "" {
		t.Fatalf("read otherwise (-want +got):\n%s", d)
	}
	// What was read can be written, and read again.
	var b bytes.Buffer
	if err := Write(&b, r.Contents, r.Text, r.File); err != nil {
		t.Fatalf("what was read cannot be written: %v", err)
	}
	if again, err := read(b.Bytes()); err != nil || !cmp.Equal(again.Contents, r.Contents) {
		t.Fatalf("written and read again it is otherwise: %v", err)
	}
}

// FuzzRead gives anything.
func FuzzRead(f *testing.F) {
	good := written(f, sample())
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18)))
	f.Fuzz(func(t *testing.T, raw []byte) { holdsOrRefuses(t, raw, Contents{}) })
}

// FuzzJob gives anything for job and states in a file whose hashes agree.
func FuzzJob(f *testing.F) {
	job, err := json.Marshal(jobFile{sample().Job, sample().Files})
	if err != nil {
		f.Fatal(err)
	}
	states, err := json.Marshal(sample().States)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(job), string(states))
	f.Add("{}", "[]")
	f.Fuzz(func(t *testing.T, job, states string) {
		p := parts{{jobName, job}, {statesName, states}}
		for _, s := range texts {
			p = p.with(textName(Hash([]byte(s))), s)
		}
		for _, s := range pixels {
			p = p.with(fileFolder+Hash([]byte(s)), s)
		}
		holdsOrRefuses(t, p.agreed(t).zipped(t), Contents{})
	})
}
