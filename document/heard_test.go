package document

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gelwright/scene/reading"
)

// poppler runs one of its programs on a file.
func poppler(t *testing.T, program string, args ...string) string {
	t.Helper()
	tool, err := exec.LookPath(program)
	if err != nil {
		t.Skip(program + " is missing; to run this test: apt-get install poppler-utils")
	}
	out, err := exec.Command(tool, args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

var heardElement = regexp.MustCompile(`^ *(Document|Sect|H[123]|P|LI|Lbl|LBody|L|Table|TR|TH|TD|Figure|TOC|Link)\b`)

// What another reader than ours hears (pdfinfo of poppler): tagged, every font embedded and leading back to letters, and the
// headings and cells in the order of the paper.
func TestPopplerHearsThePaper(t *testing.T) {
	t.Parallel()
	p, set := planned(t, "r01-garage")
	made, err := newBooks(context.Background(), p, set, nil)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[reading.Kind]string{reading.Title: "H1", reading.Heading: "H2", reading.Subheading: "H3", reading.Head: "TH", reading.Cell: "TD"}
	for i, d := range made.all() {
		if testing.Short() && i > 0 {
			break // a long book is long read
		}
		var b bytes.Buffer
		if err := d.f.Output(&b); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), d.name+".pdf")
		if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		if about := poppler(t, "pdfinfo", path); !regexp.MustCompile(`Tagged: +yes`).MatchString(about) ||
			!strings.Contains(about, p.Job.Name+", "+d.name) {
			t.Errorf("%s: pdfinfo says\n%s", d.name, about)
		}
		rows := strings.Split(strings.TrimSpace(poppler(t, "pdffonts", path)), "\n")[2:]
		for _, row := range rows {
			if !regexp.MustCompile(`Identity-H +yes yes yes`).MatchString(row) {
				t.Errorf("%s: a font is not embedded, not cut to what is used or leads to no letters: %s", d.name, row)
			}
		}
		var got []string
		kind, text := "", ""
		end := func() {
			if text != "" && len(kind) == 2 && (kind[0] == 'H' || kind == "TH" || kind == "TD") {
				got = append(got, kind+" "+pressed(text))
			}
			text = ""
		}
		for _, line := range strings.Split(poppler(t, "pdfinfo", "-struct-text", path), "\n") {
			if m := heardElement.FindStringSubmatch(line); m != nil {
				end()
				kind = m[1]
			} else if s := strings.TrimSpace(line); strings.HasPrefix(s, `"`) {
				text += strings.Trim(s, `"`)
			}
		}
		end()
		var want []string
		readAll(d.f.Says, func(n *reading.Node) {
			if k := kinds[n.Kind]; k != "" && pressed(n.Text) != "" {
				want = append(want, k+" "+pressed(n.Text))
			}
		})
		for i := range max(len(got), len(want)) {
			if at(got, i) != at(want, i) {
				t.Errorf("%s, %d of %d, %d: heard %q, the paper says %q", d.name, i, len(got), len(want), at(got, i), at(want, i))
				break
			}
		}
	}
}
