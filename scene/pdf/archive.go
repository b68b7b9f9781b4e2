package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// producer is named in every file.
const producer = "gelwright"

// archive makes the library's file one that can be kept and read aloud: it puts the
// structure tree, the metadata, the colour profile and a true table of letters into it and
// writes it anew, as PDF 1.7 with what ISO 19005-2 (PDF/A-2, level A) asks for. The
// library's objects keep their numbers; new ones follow.
func (d *Document) archive(raw []byte) ([]byte, error) {
	f, err := readFile(raw)
	if err != nil {
		return nil, err
	}
	pages := f.pages()
	if len(pages) != d.PageCount() {
		return nil, fmt.Errorf("PDF: %d pages are in the file, %d were laid out", len(pages), d.PageCount())
	}
	tree := d.structure(f, pages)
	for n, page := range pages {
		if err := d.amendPage(f, page, n+1, tree); err != nil {
			return nil, err
		}
	}
	if err := d.amendFonts(f); err != nil {
		return nil, err
	}
	meta := f.add(stream("/Type /Metadata /Subtype /XML", d.xmp(), false))
	profile := f.add(stream("/N 3", sRGB(), true))
	intent := fmt.Sprintf("<</Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier (sRGB) /RegistryName (http://www.color.org) "+
		"/Info (sRGB, IEC 61966-2-1) /DestOutputProfile %d 0 R>>", profile)
	catalog := f.objects[f.root]
	outlines := ""
	if m := outlinesRef.FindSubmatch(catalog); m != nil {
		outlines = "/Outlines " + string(m[1]) + " 0 R /PageMode /UseOutlines "
	}
	f.objects[f.root] = fmt.Appendf(nil, "<</Type /Catalog /Pages 1 0 R %s/Lang (%s) /MarkInfo <</Marked true>> /StructTreeRoot %d 0 R\n"+
		"/ViewerPreferences <</DisplayDocTitle true>> /Metadata %d 0 R /OutputIntents [%s]>>\n", outlines, d.Language, tree.root, meta, intent)
	// The dates of the file and of its metadata are the same instant.
	f.objects[f.info] = pdfDate.ReplaceAll(f.objects[f.info], []byte("(D:${1}Z)"))
	return f.bytes(tree), nil
}

var (
	outlinesRef = regexp.MustCompile(`/Outlines (\d+) 0 R`)
	pdfDate     = regexp.MustCompile(`\(D:(\d{14})\)`)
	annotation  = regexp.MustCompile(`<</Type /Annot /Subtype /Link [^>]*>>`)
	annotations = regexp.MustCompile(`/Annots \[.*\]\n`)
	objectHead  = regexp.MustCompile(`^(\d+) 0 obj\s+`)
	trailerRef  = regexp.MustCompile(`/(Root|Info) (\d+) 0 R`)
)

// amendPage ties a page to the structure tree and gives each of its links an object.
func (d *Document) amendPage(f *file, object, page int, tree *structure) error {
	body := string(f.objects[object])
	if !strings.HasPrefix(body, "<</Type /Page\n") {
		return fmt.Errorf("PDF: object %d is no page as the library is known to write it", object)
	}
	body = strings.Replace(body, "/Type /Page\n", fmt.Sprintf("/Type /Page /StructParents %d /Tabs /S\n", page-1), 1)
	var refs []string
	found := annotation.FindAllString(body, -1)
	links := tree.links[page]
	if len(found) != len(links) {
		return fmt.Errorf("PDF: page %d has %d links in the file, %d were laid out", page, len(found), len(links))
	}
	for i, a := range found {
		l := links[i]
		refs = append(refs, fmt.Sprintf("%d 0 R", l.object))
		f.objects[l.object] = []byte(strings.TrimSuffix(a, ">>") +
			fmt.Sprintf(" /F 4 /StructParent %d /Contents %s>>\n", l.parent, text(l.node.Text)))
	}
	body = annotations.ReplaceAllLiteralString(body, "/Annots ["+strings.Join(refs, " ")+"]\n")
	f.objects[object] = []byte(body)
	return nil
}

// amendFonts gives the fonts names that say they are cut to what is used, and the letters
// of their glyphs, each of them and no others.
func (d *Document) amendFonts(f *file) error {
	letters := d.toUnicode()
	named := 0
	for n, body := range f.objects {
		switch {
		case bytes.Contains(body, []byte("/utf8"+Family)):
			s := strings.NewReplacer("/utf8"+Family+"B\n", "/GWSETB+GoBold\n", "/utf8"+Family+"\n", "/GWSETR+GoRegular\n").Replace(string(body))
			f.objects[n] = []byte(s)
			named++
		case bytes.Contains(body, []byte("/CIDInit /ProcSet findresource")):
			f.objects[n] = stream("", letters, true)
		}
	}
	if want := 6; named != want {
		return fmt.Errorf("PDF: %d objects of the fonts in the file, %d are known", named, want)
	}
	return nil
}

// toUnicode is the table from the codes of the content to letters; the library's codes are
// the letters' own in UTF-16.
func (d *Document) toUnicode() []byte {
	used := make([]rune, 0, len(d.runes))
	for r, has := range d.runes {
		if has {
			used = append(used, r)
		}
	}
	slices.Sort(used)
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) " +
		"/Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	const most = 100 // entries to a block
	for len(used) > 0 {
		n := min(most, len(used))
		fmt.Fprintf(&b, "%d beginbfchar\n", n)
		for _, r := range used[:n] {
			fmt.Fprintf(&b, "<%04X> <%04X>\n", r, r)
		}
		b.WriteString("endbfchar\n")
		used = used[n:]
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.Bytes()
}

// file is a PDF as its objects' bodies by number; 0 is none.
type file struct {
	objects    [][]byte
	root, info int
}

// readFile takes the library's file apart, by its table of places.
func readFile(raw []byte) (*file, error) {
	at := bytes.LastIndex(raw, []byte("startxref\n"))
	if at < 0 {
		return nil, fmt.Errorf("PDF: the library's file has no table of places")
	}
	from, err := strconv.Atoi(strings.Fields(string(raw[at+10:]))[0])
	if err != nil || from >= len(raw) {
		return nil, fmt.Errorf("PDF: the library's table of places is not found")
	}
	lines := strings.SplitN(string(raw[from:at]), "trailer", 2)
	f := &file{objects: [][]byte{nil}}
	rows := strings.Split(strings.TrimSpace(lines[0]), "\n")
	for _, row := range rows[min(3, len(rows)):] {
		place, err := strconv.Atoi(strings.TrimLeft(strings.Fields(row)[0], "0"))
		if err != nil {
			return nil, fmt.Errorf("PDF: place %q in the library's table", row)
		}
		head := objectHead.Find(raw[place:min(place+24, len(raw))])
		if head == nil {
			return nil, fmt.Errorf("PDF: no object where the library says that %d is", len(f.objects))
		}
		begin := place + len(head)
		f.objects = append(f.objects, raw[begin:begin+endOf(raw[begin:])])
	}
	for _, m := range trailerRef.FindAllStringSubmatch(lines[len(lines)-1], -1) {
		n, _ := strconv.Atoi(m[2])
		if m[1] == "Root" {
			f.root = n
		} else {
			f.info = n
		}
	}
	if f.root <= 0 || f.root >= len(f.objects) || f.info <= 0 || f.info >= len(f.objects) {
		return nil, fmt.Errorf("PDF: the library's file has no catalog or no information")
	}
	return f, nil
}

var streamLength = regexp.MustCompile(`/Length (\d+)`)

// endOf is how long an object's body is: a stream is passed over by its length, as its bytes
// may hold any word.
func endOf(b []byte) int {
	skip := 0
	end := bytes.Index(b, []byte("endobj"))
	if s := bytes.Index(b, []byte("\nstream\n")); s >= 0 && s < end {
		if m := streamLength.FindSubmatch(b[:s]); m != nil {
			n, _ := strconv.Atoi(string(m[1]))
			skip = s + len("\nstream\n") + n
		}
	}
	return skip + bytes.Index(b[skip:], []byte("endobj"))
}

// pages are the numbers of the page objects, in order: the library writes them first.
func (f *file) pages() []int {
	var out []int
	for n, body := range f.objects {
		if bytes.HasPrefix(body, []byte("<</Type /Page\n")) {
			out = append(out, n)
		}
	}
	return out
}

// add puts an object at the end and returns its number.
func (f *file) add(body []byte) int {
	f.objects = append(f.objects, body)
	return len(f.objects) - 1
}

// stream returns a stream object, packed or as it is.
func stream(entries string, content []byte, packed bool) []byte {
	if packed {
		var b bytes.Buffer
		z := zlib.NewWriter(&b)
		_, _ = z.Write(content) // a buffer takes all
		_ = z.Close()
		content = b.Bytes()
		entries += " /Filter /FlateDecode"
	}
	return fmt.Appendf(nil, "<<%s /Length %d>>\nstream\n%s\nendstream\n", entries, len(content), content)
}

// perPack is how many objects of the structure tree are packed together.
const perPack = 400

// bytes writes the file: the library's objects and the new ones, those of the structure
// tree packed, and a packed table of places (ISO 32000-1, 7.5.7 and 7.5.8).
func (f *file) bytes(tree *structure) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	type place struct{ kind, a, b int }
	places := make([]place, len(f.objects))
	for n, body := range f.objects {
		if n == 0 || n >= tree.first && n <= tree.last {
			continue
		}
		places[n] = place{1, b.Len(), 0}
		fmt.Fprintf(&b, "%d 0 obj\n%s", n, body)
		if body[len(body)-1] != '\n' {
			b.WriteByte('\n')
		}
		b.WriteString("endobj\n")
	}
	for from := tree.first; from <= tree.last; from += perPack {
		var index, bodies bytes.Buffer
		number := len(places)
		to := min(from+perPack, tree.last+1)
		for n := from; n < to; n++ {
			places[n] = place{2, number, n - from}
			fmt.Fprintf(&index, "%d %d ", n, bodies.Len())
			bodies.Write(f.objects[n])
		}
		entries := fmt.Sprintf("/Type /ObjStm /N %d /First %d", to-from, index.Len())
		places = append(places, place{1, b.Len(), 0})
		fmt.Fprintf(&b, "%d 0 obj\n%sendobj\n", number, stream(entries, append(index.Bytes(), bodies.Bytes()...), true))
	}
	at := b.Len()
	places = append(places, place{1, at, 0})
	var table bytes.Buffer
	for _, p := range places {
		table.Write([]byte{byte(p.kind), byte(p.a >> 24), byte(p.a >> 16), byte(p.a >> 8), byte(p.a), byte(p.b >> 8), byte(p.b)})
	}
	sum := sha256.Sum256(b.Bytes())
	id := strings.ToUpper(hex.EncodeToString(sum[:16]))
	entries := fmt.Sprintf("/Type /XRef /Size %d /W [1 4 2] /Root %d 0 R /Info %d 0 R /ID [<%s> <%s>]", len(places), f.root, f.info, id, id)
	fmt.Fprintf(&b, "%d 0 obj\n%sendobj\nstartxref\n%d\n%%%%EOF\n", len(places)-1, stream(entries, table.Bytes(), true), at)
	return b.Bytes()
}
