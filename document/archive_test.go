package document

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"gelwright/scene/reading"
)

// No validator of PDF/A is in Debian. What ISO 19005-2 asks for at level A is therefore checked here clause by clause, on the
// file as qpdf (an independent reader) takes it apart. The list follows the clauses that a program can test; what only a person can
// judge (is the order of reading sensible, does the alternative text say what is shown) is looked at in the other tests.

// opened is a PDF as qpdf reads it.
type opened struct {
	objects map[string]any
	trailer map[string]any
	raw     []byte
}

func openPDF(t *testing.T, content []byte) *opened {
	t.Helper()
	tool, err := exec.LookPath("qpdf")
	if err != nil {
		t.Skip("qpdf is missing; to run this test: apt-get install qpdf")
	}
	path := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(tool, "--check", path).CombinedOutput(); err != nil {
		t.Fatalf("qpdf --check: %v\n%s", err, out)
	}
	out, err := exec.Command(tool, "--json=2", "--json-key=qpdf", "--json-stream-data=inline", "--decode-level=generalized", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var parts struct {
		QPDF []json.RawMessage `json:"qpdf"`
	}
	if err := json.Unmarshal(out, &parts); err != nil || len(parts.QPDF) != 2 {
		t.Fatalf("qpdf's JSON has another form than known: %v", err)
	}
	var file map[string]map[string]any
	if err := json.Unmarshal(parts.QPDF[1], &file); err != nil {
		t.Fatal(err)
	}
	o := &opened{objects: map[string]any{}, raw: content}
	for name, body := range file {
		value := body["value"]
		if s, ok := body["stream"]; ok {
			value = s
		}
		if name == "trailer" {
			o.trailer = value.(map[string]any)
			continue
		}
		o.objects[strings.TrimPrefix(name, "obj:")] = value
	}
	return o
}

var reference = regexp.MustCompile(`^\d+ 0 R$`)

// get follows references to a value, and into dictionaries along the names.
func (o *opened) get(v any, names ...string) any {
	for s, ok := v.(string); ok && reference.MatchString(s); s, ok = v.(string) {
		v = o.objects[s]
	}
	if len(names) == 0 {
		return v
	}
	m, ok := v.(map[string]any)
	if !ok {
		return nil
	}
	if d, ok := m["dict"]; ok {
		m = o.get(d).(map[string]any)
	}
	return o.get(m[names[0]], names[1:]...)
}

func (o *opened) list(v any) []any {
	switch x := o.get(v).(type) {
	case nil:
		return nil
	case []any:
		return x
	default:
		return []any{v}
	}
}

func (o *opened) data(t *testing.T, v any) []byte {
	t.Helper()
	m := o.get(v).(map[string]any)
	raw, err := base64.StdEncoding.DecodeString(m["data"].(string))
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

func (o *opened) catalog() any { return o.trailer["/Root"] }

func (o *opened) pages() []any { return o.list(o.get(o.catalog(), "/Pages", "/Kids")) }

// words is a text string of qpdf's JSON.
func words(v any) string {
	s, _ := v.(string)
	return strings.TrimPrefix(s, "u:")
}

// sequenceText is what the pages' content says, by page and number of the marked sequence.
type sequenceText map[[2]int]string

var paints = map[string]bool{"Tj": true, "TJ": true, "'": true, `"`: true, "S": true, "s": true, "f": true, "F": true, "f*": true, "B": true,
	"B*": true, "b": true, "b*": true, "sh": true, "Do": true, "BI": true}

var knownOperators = strings.Fields("q Q cm w J j M d i gs m l c v y h re S s f F f* B B* b b* n W W* BT ET Tc Tw Tz TL Tf Tr Ts Td TD Tm T* " +
	"Tj TJ ' \" g G rg RG BMC BDC EMC MP DP")

var contentToken = regexp.MustCompile(`\((?:\\.|[^\\()])*\)|<<|>>|<[0-9A-Fa-f]*>|[\[\]]|/[^\s/<>()\[\]]+|[-+]?[0-9]*\.?[0-9]+|[A-Za-z'"*][A-Za-z0-9*]*`)

// readContent walks a page's operators: all that marks the page lies in a sequence that is tagged or an artifact
// (ISO 19005-2, 6.7.2.2 and 6.7.3), operators are known (6.2.2), colours are of devices that the output intent stands
// for (6.2.4.3), the graphics state is saved at most 28 deep (6.1.13).
func readContent(t *testing.T, page int, content []byte, says sequenceText) {
	t.Helper()
	var stack []string
	var saved, id int
	in := ""
	for _, tok := range contentToken.FindAll(content, -1) {
		s := string(tok)
		if c := s[0]; c == '(' || c == '<' || c == '>' || c == '[' || c == ']' || c == '/' || c == '-' || c == '+' || c == '.' || c >= '0' && c <= '9' {
			stack = append(stack, s)
			continue
		}
		if !slices.Contains(knownOperators, s) {
			t.Fatalf("page %d: operator %q is not one of those that are written", page, s)
		}
		switch s {
		case "q":
			saved++
			if saved > 28 {
				t.Fatalf("page %d: the state is saved %d deep", page, saved)
			}
		case "Q":
			saved--
		case "BMC", "BDC":
			if in != "" {
				t.Fatalf("page %d: a sequence begins within %s", page, in)
			}
			in, id = stack[0], -1
			for i, x := range stack {
				if x == "/MCID" {
					id, _ = strconv.Atoi(stack[i+1])
				}
			}
			if in != "/Artifact" {
				if _, twice := says[[2]int{page, id}]; twice || id < 0 {
					t.Fatalf("page %d: sequence %d of %s is there twice or has no number", page, id, in)
				}
				says[[2]int{page, id}] = ""
			}
		case "EMC":
			if in == "" {
				t.Fatalf("page %d: a sequence ends that did not begin", page)
			}
			in = ""
		case "Tj":
			if id >= 0 && in != "" && in != "/Artifact" {
				says[[2]int{page, id}] += lettered(stack[len(stack)-1])
			}
		}
		if paints[s] && in == "" {
			t.Fatalf("page %d: %q paints outside of what is tagged and of artifacts", page, s)
		}
		stack = stack[:0]
	}
	if saved != 0 || in != "" {
		t.Fatalf("page %d: state saved %d times too often, sequence %q open at the end", page, saved, in)
	}
}

// lettered reads a string of the content: UTF-16 with escapes.
func lettered(s string) string {
	b := []byte(s[1 : len(s)-1])
	var raw []byte
	for i := 0; i < len(b); i++ {
		if b[i] == '\\' {
			i++
			if b[i] == 'r' {
				raw = append(raw, '\r')
				continue
			}
		}
		raw = append(raw, b[i])
	}
	var u []uint16
	for i := 0; i+1 < len(raw); i += 2 {
		u = append(u, uint16(raw[i])<<8|uint16(raw[i+1]))
	}
	return string(utf16.Decode(u))
}

// archival checks a file clause by clause and returns what each of its marked sequences says.
func archival(t *testing.T, o *opened) sequenceText {
	t.Helper()
	fail := func(clause, format string, args ...any) {
		t.Helper()
		t.Errorf("ISO 19005-2, %s: %s", clause, fmt.Sprintf(format, args...))
	}
	// 6.1: the file.
	if !bytes.HasPrefix(o.raw, []byte("%PDF-1.7\n%")) || min(o.raw[10], o.raw[11], o.raw[12], o.raw[13]) < 0x80 {
		fail("6.1.2", "header %q", o.raw[:20])
	}
	if ids := o.list(o.trailer["/ID"]); len(ids) != 2 || o.trailer["/Encrypt"] != nil {
		fail("6.1.3", "trailer %v", o.trailer)
	}
	if !bytes.HasSuffix(o.raw, []byte("%%EOF\n")) {
		fail("6.1.3", "data after the end of the file")
	}
	if n := len(o.objects); n > 8388607 {
		fail("6.1.13", "%d objects", n)
	}
	for name, v := range o.objects {
		o.object(fail, name, v)
	}
	catalog := o.get(o.catalog()).(map[string]any)
	for _, not := range []string{"/AA", "/OpenAction", "/AcroForm", "/Names", "/Perms", "/Requirements", "/OCProperties"} {
		if catalog[not] != nil {
			fail("6.1, 6.4, 6.5, 6.8, 6.11", "the catalog has %s", not)
		}
	}
	o.intent(t, fail)
	o.metadata(t, fail)
	says := sequenceText{}
	for n, page := range o.pages() {
		p := o.get(page).(map[string]any)
		if p["/Resources"] == nil {
			fail("6.2.2", "page %d has no resources of its own", n+1)
		}
		if p["/Group"] != nil || p["/AA"] != nil {
			fail("6.2.10, 6.5.2", "page %d has a group or actions", n+1)
		}
		for _, a := range o.list(p["/Annots"]) {
			flags, _ := o.get(a, "/F").(float64)
			if o.get(a, "/Subtype") != "/Link" || int(flags)&4 == 0 || int(flags)&(1|2|32|256) != 0 || o.get(a, "/StructParent") == nil {
				fail("6.3", "page %d: annotation %v", n+1, o.get(a))
			}
		}
		readContent(t, n+1, o.data(t, p["/Contents"]), says)
	}
	o.fonts(t, fail, says)
	o.tree(fail, says)
	return says
}

type failing func(clause, format string, args ...any)

// object holds one object to the limits, and streams to filters that may be used (6.1.7, 6.1.13).
func (o *opened) object(fail failing, name string, v any) {
	m, ok := v.(map[string]any)
	if !ok {
		return
	}
	if d, ok := m["dict"].(map[string]any); ok {
		for _, not := range []string{"/F", "/FFilter", "/FDecodeParms"} {
			if d[not] != nil {
				fail("6.1.7.1", "object %s: %s", name, not)
			}
		}
		if f := d["/Filter"]; f != nil && f != "/FlateDecode" {
			fail("6.1.7.2", "object %s: filter %v", name, f)
		}
		m = d
	}
	for k, x := range m {
		if s, ok := x.(string); len(k) > 128 || ok && len(s) > 32767 {
			fail("6.1.13", "object %s: %s is too long", name, k)
		}
	}
	if m["/S"] == "/JavaScript" || m["/S"] == "/Launch" || m["/Type"] == "/Filespec" {
		fail("6.5, 6.8", "object %s: %v", name, m)
	}
}

// intent checks the output intent and its profile (6.2.3).
func (o *opened) intent(t *testing.T, fail failing) {
	intents := o.list(o.get(o.catalog(), "/OutputIntents"))
	if len(intents) != 1 || o.get(intents[0], "/S") != "/GTS_PDFA1" {
		fail("6.2.3", "output intents %v", intents)
		return
	}
	icc := o.data(t, o.get(intents[0], "/DestOutputProfile"))
	if string(icc[12:20]) != "mntrRGB " || string(icc[36:40]) != "acsp" || icc[8] >= 5 || o.get(intents[0], "/DestOutputProfile", "/N") != 3.0 {
		fail("6.2.3", "the profile is no screen's of red, green and blue")
	}
}

// metadata checks the packet (6.6.2, 6.6.4): well-formed, not packed, and the same as the information of the file.
func (o *opened) metadata(t *testing.T, fail failing) {
	meta := o.get(o.catalog(), "/Metadata")
	if o.get(meta, "/Type") != "/Metadata" || o.get(meta, "/Subtype") != "/XML" || o.get(meta, "/Filter") != nil {
		fail("6.6.2.1", "metadata %v", o.get(meta, "/Type"))
	}
	packet := o.data(t, meta)
	for d := xml.NewDecoder(bytes.NewReader(packet)); ; {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatalf("the metadata is no XML: %v", err)
		}
	}
	info := o.get(o.trailer["/Info"]).(map[string]any)
	created := strings.TrimPrefix(words(info["/CreationDate"]), "D:")
	if len(created) != 15 {
		t.Fatalf("the file's date is %q", created)
	}
	date := fmt.Sprintf("%s-%s-%sT%s:%s:%sZ", created[:4], created[4:6], created[6:8], created[8:10], created[10:12], created[12:14])
	var escaped bytes.Buffer
	if err := xml.EscapeText(&escaped, []byte(words(info["/Title"]))); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<pdfaid:part>2</pdfaid:part>", "<pdfaid:conformance>A</pdfaid:conformance>",
		"<xmp:CreateDate>" + date, "<xmp:ModifyDate>" + date, `<rdf:li xml:lang="x-default">` + escaped.String() + "</rdf:li>",
		"<pdf:Producer>" + words(info["/Producer"])} {
		if !bytes.Contains(packet, []byte(want)) {
			fail("6.6.4", "the metadata lacks %s", want)
		}
	}
}

// fonts checks that every letter is embedded with the width that the file says, and leads back to itself (6.2.11).
func (o *opened) fonts(t *testing.T, fail failing, says sequenceText) {
	used := map[rune]bool{}
	for _, s := range says {
		for _, r := range s {
			used[r] = true
		}
	}
	count := 0
	for name, v := range o.objects {
		if o.get(v, "/Subtype") != "/Type0" {
			continue
		}
		count++
		cid := o.list(o.get(v, "/DescendantFonts"))[0]
		file := o.data(t, o.get(cid, "/FontDescriptor", "/FontFile2"))
		f, err := sfnt.Parse(file)
		if err != nil {
			t.Fatalf("font %s: %v", name, err)
		}
		gids := o.data(t, o.get(cid, "/CIDToGIDMap"))
		letters := string(o.data(t, o.get(v, "/ToUnicode")))
		wide := o.widths(cid)
		var buf sfnt.Buffer
		for r := range used {
			g := sfnt.GlyphIndex(gids[2*r])<<8 | sfnt.GlyphIndex(gids[2*r+1])
			if g == 0 {
				continue // the other of the two fonts has it, else the next check finds it
			}
			advance, err := f.GlyphAdvance(&buf, g, fixed.I(1000), font.HintingNone)
			if err != nil {
				t.Fatal(err)
			}
			if w := float64(advance) / 64; math.Abs(w-wide[int(r)]) > 1 {
				fail("6.2.11.5", "%q is %.1f wide in the font and %g in the file", r, w, wide[int(r)])
			}
			if r == 0 || r == 0xFEFF || r == 0xFFFE || !strings.Contains(letters, fmt.Sprintf("<%04X> <%04X>\n", r, r)) {
				fail("6.2.11.7.2", "%q does not lead back to a letter", r)
			}
			delete(used, r)
		}
		if enc := o.get(v, "/Encoding"); enc != "/Identity-H" {
			fail("6.2.11.3", "encoding %v", enc)
		}
	}
	for r := range used {
		fail("6.2.11.4.1, 6.2.11.8", "no font of the file has %q", r)
	}
	if count == 0 {
		fail("6.2.11", "no font")
	}
}

// widths are those of a CID font by code.
func (o *opened) widths(cid any) map[int]float64 {
	out := map[int]float64{}
	w := o.list(o.get(cid, "/W"))
	for i := 0; i < len(w); {
		first := int(w[i].(float64))
		if all, ok := o.get(w[i+1]).([]any); ok {
			for k, x := range all {
				out[first+k] = x.(float64)
			}
			i += 2
			continue
		}
		for k := first; k <= int(w[i+1].(float64)); k++ {
			out[k] = w[i+2].(float64)
		}
		i += 3
	}
	return out
}

// standardTypes are the structure types of ISO 32000-1, 14.8.4, that are written.
var standardTypes = strings.Fields("/Document /Sect /H1 /H2 /H3 /P /L /LI /Lbl /LBody /Table /TR /TH /TD /Figure /TOC /Link")

// tree checks the logical structure (6.7): marked, one root, standard types, each sequence of the pages owned by one
// element and the parent tree saying the same; figures have words, a language stands.
func (o *opened) tree(fail failing, says sequenceText) {
	root := o.get(o.catalog(), "/StructTreeRoot")
	if o.get(o.catalog(), "/MarkInfo", "/Marked") != true || root == nil {
		fail("6.7.2.2, 6.7.3.3", "the file is not marked as tagged")
		return
	}
	if lang := words(o.get(o.catalog(), "/Lang")); !regexp.MustCompile(`^[a-z]{2}-[A-Z]{2}$`).MatchString(lang) {
		fail("6.7.4", "language %q", lang)
	}
	number := map[string]int{}
	for n, p := range o.pages() {
		number[p.(string)] = n + 1
	}
	owned := map[[2]int]string{}
	o.elements(root, func(ref string, e map[string]any) {
		if !slices.Contains(standardTypes, fmt.Sprint(e["/S"])) {
			fail("6.7.3.4", "structure type %v", e["/S"])
		}
		if e["/S"] == "/Figure" && len(words(e["/Alt"])) < 10 {
			fail("6.7 (and ISO 32000-1, 14.9.3)", "a figure that says %q", words(e["/Alt"]))
		}
		for _, k := range o.list(e["/K"]) {
			page, id := e["/Pg"], k
			if m, ok := k.(map[string]any); ok && m["/Type"] == "/MCR" {
				page, id = m["/Pg"], m["/MCID"]
			}
			if n, ok := id.(float64); ok {
				at := [2]int{number[fmt.Sprint(page)], int(n)}
				if _, there := says[at]; !there || owned[at] != "" {
					fail("6.7.3.3", "sequence %v is on no page or belongs to two elements", at)
				}
				owned[at] = ref
			}
		}
	})
	nums := o.list(o.get(root, "/ParentTree", "/Nums"))
	parents := map[int]any{}
	for i := 0; i+1 < len(nums); i += 2 {
		parents[int(nums[i].(float64))] = nums[i+1]
	}
	for at := range says {
		if owned[at] == "" {
			fail("6.7.3", "sequence %v belongs to no element", at)
			continue
		}
		key, _ := o.get(o.pages()[at[0]-1], "/StructParents").(float64)
		if list := o.list(parents[int(key)]); at[1] >= len(list) || list[at[1]] != owned[at] {
			fail("6.7.3.3 (and ISO 32000-1, 14.7.4.4)", "sequence %v has another parent than element %s", at, owned[at])
		}
	}
}

// elements shows every structure element in reading order.
func (o *opened) elements(v any, see func(ref string, e map[string]any)) {
	parent, _ := o.get(v).(map[string]any)
	for _, k := range o.list(parent["/K"]) {
		ref, ok := k.(string)
		e, is := o.get(k).(map[string]any)
		if !ok || !is || e["/S"] == nil {
			continue
		}
		see(ref, e)
		o.elements(k, see)
	}
}

// pressed is a text without what a page does to it: breaks, spaces where words were broken, lines to write on.
func pressed(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(clean(strings.ReplaceAll(s, "\n", " "))), ""), "_", "")
}

// The books, labels and drawings are fit to be kept, and what their tags say is what the
// paper says: the same headings, paragraphs, items and cells, in the same order.
func TestPapersAreArchival(t *testing.T) {
	names := []string{"r01-garage", "r04-l-shape", "r12-hall"}
	if testing.Short() {
		names = names[:1]
	}
	for _, name := range names {
		p, set := planned(t, name)
		made, err := newBooks(context.Background(), p, set, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range made.all() {
			t.Run(name+"/"+d.name, func(t *testing.T) {
				t.Parallel()
				var b bytes.Buffer
				if err := d.f.Output(&b); err != nil {
					t.Fatal(err)
				}
				o := openPDF(t, b.Bytes())
				says := archival(t, o)
				o.saysAs(t, d.f.Says, says)
			})
		}
		t.Run(name+"/labels", func(t *testing.T) {
			t.Parallel()
			raw, err := LabelsPDF(p)
			if err != nil {
				t.Fatal(err)
			}
			archival(t, openPDF(t, raw))
		})
	}
}

// readAll shows a node and all below it, outermost first, in reading order.
func readAll(n *reading.Node, see func(*reading.Node)) {
	see(n)
	for _, c := range n.Of {
		readAll(c, see)
	}
}

// saysAs compares the file's structure with what the paper says.
func (o *opened) saysAs(t *testing.T, paper *reading.Node, says sequenceText) {
	t.Helper()
	number := map[string]int{}
	for n, p := range o.pages() {
		number[p.(string)] = n + 1
	}
	var got []string
	o.elements(o.get(o.catalog(), "/StructTreeRoot"), func(_ string, e map[string]any) {
		text := ""
		for _, k := range o.list(e["/K"]) {
			page, id := e["/Pg"], k
			if m, ok := k.(map[string]any); ok && m["/Type"] == "/MCR" {
				page, id = m["/Pg"], m["/MCID"]
			}
			if n, ok := id.(float64); ok {
				text += says[[2]int{number[fmt.Sprint(page)], int(n)}]
			}
		}
		switch kind := fmt.Sprint(e["/S"])[1:]; kind {
		case "Figure":
			got = append(got, kind+" "+pressed(words(e["/Alt"])))
		case "H1", "H2", "H3", "P", "Lbl", "LBody", "TH", "TD", "Link":
			if text != "" {
				got = append(got, kind+" "+pressed(text))
			}
		}
	})
	var want []string
	tags := map[reading.Kind]string{reading.Title: "H1", reading.Heading: "H2", reading.Subheading: "H3", reading.Paragraph: "P",
		reading.Label: "Lbl", reading.Body: "LBody", reading.Head: "TH", reading.Cell: "TD", reading.Link: "Link"}
	level := 0
	readAll(paper, func(n *reading.Node) {
		if h := int(n.Kind - reading.Title); h >= 0 && h < 3 {
			if h > level+1 {
				t.Errorf("the heading %q is %d levels below the one before", n.Text, h-level)
			}
			level = h
		}
		if n.Kind == reading.Figure {
			want = append(want, "Figure "+pressed(n.Alt()))
		} else if tag := tags[n.Kind]; tag != "" && n.Text != "" {
			want = append(want, tag+" "+pressed(n.Text))
		}
	})
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("element %d of %d, %d: the file says\n %s\nthe paper\n %s", i, len(got), len(want), at(got, i), at(want, i))
		}
	}
}

func at(list []string, i int) string {
	if i < len(list) {
		return list[i]
	}
	return "nothing"
}
