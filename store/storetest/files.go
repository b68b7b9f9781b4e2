package storetest

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gelwright/store"
)

// photo is a file that is to be kept.
func photo(name, pixels string) store.NewFile {
	return store.NewFile{Name: name, MediaType: "image/jpeg", When: Day, Who: "phone", Bytes: []byte(pixels)}
}

func testFiles(t *testing.T, h *hand) {
	j, k := h.job("Garage", ""), h.job("Shed", "")
	if files, err := h.s.Files(h.ctx, j.ID); err != nil || len(files) != 0 {
		t.Errorf("a new job has %v, %v", files, err)
	}
	want := store.File{Name: "verge.jpg", MediaType: "image/jpeg", When: Day, Who: "phone", Size: 3,
		// SHA-256 of "abc": FIPS 180-2, appendix B.1
		SHA256: "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"}
	got, err := h.s.PutFile(h.ctx, j.ID, photo("verge.jpg", "abc"))
	h.must(err)
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("told (-want +got):\n%s", d)
	}
	// Asked again, as it was kept; other content under the name is refused.
	later := photo("verge.jpg", "abc")
	later.When, later.Who = Day.Add(time.Hour), "tablet"
	got, err = h.s.PutFile(h.ctx, j.ID, later)
	h.must(err)
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("asked again (-want +got):\n%s", d)
	}
	_, err = h.s.PutFile(h.ctx, j.ID, photo("verge.jpg", "abd"))
	h.refuses(err, store.Clash, "verge.jpg")
	later.MediaType = "image/png"
	_, err = h.s.PutFile(h.ctx, j.ID, later)
	h.refuses(err, store.Clash, "verge.jpg")
	// The same bytes under another name, in another job, and none at all.
	for _, f := range []store.NewFile{photo("a.jpg", "abc"), photo("nothing.txt", "")} {
		for _, id := range []store.ID{j.ID, k.ID} {
			put, err := h.s.PutFile(h.ctx, id, f)
			h.must(err)
			file, raw, err := h.s.ReadFile(h.ctx, id, f.Name)
			h.must(err)
			if d := cmp.Diff(put, file); d != "" || !bytes.Equal(raw, f.Bytes) {
				t.Errorf("%s: read otherwise than put: %s", f.Name, d)
			}
		}
	}
	big := photo("big.bin", strings.Repeat("x", store.MostFileBytes))
	_, err = h.s.PutFile(h.ctx, j.ID, big)
	h.must(err)
	if _, raw, err := h.s.ReadFile(h.ctx, j.ID, "big.bin"); err != nil || !bytes.Equal(raw, big.Bytes) {
		t.Errorf("32 MB: %d bytes, %v", len(raw), err)
	}
	files, err := h.s.Files(h.ctx, j.ID)
	h.must(err)
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	if got := strings.Join(names, " "); got != "a.jpg big.bin nothing.txt verge.jpg" {
		t.Errorf("files: %s", got)
	}
	if d := cmp.Diff(want, files[3]); d != "" {
		t.Errorf("listed (-want +got):\n%s", d)
	}
	_, _, err = h.s.ReadFile(h.ctx, k.ID, "verge.jpg")
	h.refuses(err, store.Unknown, "no such file")
	_, err = h.s.PutFile(h.ctx, j.ID, photo("bigger.bin", strings.Repeat("x", store.MostFileBytes+1)))
	h.refuses(err, store.TooLarge, "bigger.bin")
}

func testFileNames(t *testing.T, h *hand) {
	j := h.job("Garage", "")
	for _, name := range []string{"a", "Öl & Harz (1).jpg", "…", "a.b.c", strings.Repeat("ö", store.MostText), "con.txt", "-rf", "'; --"} {
		if _, err := h.s.PutFile(h.ctx, j.ID, photo(name, name)); err != nil {
			t.Errorf("%q: %v", name, err)
		}
		if _, raw, err := h.s.ReadFile(h.ctx, j.ID, name); err != nil || string(raw) != name {
			t.Errorf("%q: read %q, %v", name, raw, err)
		}
	}
	for _, name := range []string{"", ".", "..", "../a", "a/b", `a\b`, "c:a", "a.", ".a", " a", "a ", "a\x00", "a\nb", "\xff",
		strings.Repeat("ö", store.MostText+1)} {
		if _, err := h.s.PutFile(h.ctx, j.ID, photo(name, "x")); store.KindOf(err) != store.Refused && store.KindOf(err) != store.TooLarge {
			t.Errorf("%q: %v", name, err)
		}
	}
	for _, kind := range []string{"", "image", "Image/JPEG", "text/html; charset=utf-8", "a/b c", "text/html\n",
		strings.Repeat("x", 200) + "/x"} {
		f := photo("kind", "x")
		f.MediaType = kind
		_, err := h.s.PutFile(h.ctx, j.ID, f)
		h.refuses(err, store.Refused, "media type")
	}
	for name, change := range map[string]func(*store.NewFile){
		"who":  func(f *store.NewFile) { f.Who = "" },
		"when": func(f *store.NewFile) { f.When = time.Time{} },
	} {
		f := photo("kind", "x")
		change(&f)
		_, err := h.s.PutFile(h.ctx, j.ID, f)
		h.refuses(err, store.Refused, name)
	}
	if files, err := h.s.Files(h.ctx, j.ID); err != nil || len(files) != 8 {
		t.Errorf("%d files, %v", len(files), err)
	}
}

// testFileOrder lists files by the bytes of their names, whatever the language of a server, and asks for names that are none.
func testFileOrder(t *testing.T, h *hand) {
	j := h.job("Garage", "")
	for _, name := range []string{"a\x00", "\xff", "A"} {
		_, _, err := h.s.ReadFile(h.ctx, j.ID, name)
		h.refuses(err, store.Unknown, "no such file")
	}
	// By their bytes, whatever the language of a server.
	for _, name := range []string{"ä", "b", "A", "_1", "-1", "a"} {
		_, err := h.s.PutFile(h.ctx, j.ID, photo(name, "x"))
		h.must(err)
	}
	files, err := h.s.Files(h.ctx, j.ID)
	h.must(err)
	names := ""
	for _, f := range files {
		names += f.Name + " "
	}
	if names != "-1 A _1 a b ä " {
		t.Errorf("in order: %s", names)
	}
}
