package web_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"gelwright/store"
)

// picture is a picture of a format, wide × high pixels.
func picture(t *testing.T, format string, wide, high int) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, wide, high))
	var b bytes.Buffer
	var err error
	switch format {
	case "jpeg":
		err = jpeg.Encode(&b, img, nil)
	case "png":
		err = png.Encode(&b, img)
	case "gif":
		err = gif.Encode(&b, img, nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// flood is a PNG of a few bytes whose head says that it has wide × high pixels.
func flood(t *testing.T, wide, high uint32) string {
	t.Helper()
	raw := []byte(picture(t, "png", 1, 1))
	binary.BigEndian.PutUint32(raw[16:], wide)
	binary.BigEndian.PutUint32(raw[20:], high)
	binary.BigEndian.PutUint32(raw[29:], crc32.ChecksumIEEE(raw[12:29]))
	return string(raw)
}

// ASVS 5.0 5.2.1, 5.2.2, 5.2.6: a file is looked at before it is kept.
func TestUploadsAreLookedAt(t *testing.T) {
	s := serve(t)
	path := "/api/jobs/" + s.job("Garage", `{}`).ID
	const webp = "RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x00\x00\x00\x10\x07\x10\x11\x11\x88\x88\xfe\x07"
	for i, x := range []struct{ name, media, body, code string }{
		{"a.jpg", "image/jpeg", picture(t, "jpeg", 4, 3), ""},
		{"a.JPEG", "image/jpeg", picture(t, "jpeg", 4, 4), ""},
		{"a.png", "image/png", picture(t, "png", 4, 3), ""},
		{"a.gif", "image/gif", picture(t, "gif", 4, 3), ""},
		{"a.webp", "image/webp", webp, ""},
		{"a.pdf", "application/pdf", "%PDF-1.7\n", ""},
		{"a.csv", "text/csv", "time;tempC\n", ""},
		{"ü.txt", "text/plain", "grüß dich, M", ""},
		{"MZ.txt", "text/plain", "MZ is how it begins", ""},
		{"a.zip", "application/octet-stream", "PK\x05\x06" + strings.Repeat("\x00", 18), ""},
		{"a.heic", "image/heic", "\x00\x00\x00\x18ftypheic", ""},
		{"a.json", "text/plain", `{"undo":[]}`, ""},
		{"plain", "image/png", picture(t, "png", 5, 3), ""},
		{"big.png", "image/png", flood(t, 10_000, 10_000), ""},

		{"b.jpg", "image/jpeg", "<html><script>alert(1)</script>", "unlike"},
		{"b.jpg", "image/jpeg", picture(t, "png", 4, 3), "unlike"},
		{"b.jpg", "image/png", picture(t, "png", 4, 3), "unlike"},
		{"b.png", "text/html", "<html>", "unlike"},
		{"b.pdf", "application/pdf", "<html>%PDF-1.7", "unlike"},
		{"b.pdf", "text/plain", "%PDF-1.7", "unlike"},
		{"b.csv", "text/csv", "a\x00b", "unlike"},
		{"b.txt", "text/plain", "gr\xfc\xdf dich", "unlike"},
		{"b.json", "application/json", "{", "unlike"},
		{"b.zip", "application/zip", "no zip", "unlike"},
		{"b.zip", "text/plain", "no zip", "unlike"},
		{"b.webp", "image/webp", "RIFF\x00\x00\x00\x00WEBP", "unlike"},
		{"flood.png", "image/png", flood(t, 10_001, 10_000), "unlike"},
		{"flood.png", "image/png", flood(t, 1<<31-1, 1<<31-1), "unlike"},
		{"flat.png", "image/png", flood(t, 65_536, 1), "unlike"},
		{"b.exe", "application/octet-stream", "MZ\x90\x00\x03\x00\x00\xff", "unlike"},
		{"b.bin", "application/octet-stream", "\x7fELF\x02\x01\x01\xff", "unlike"},
		{"b.wasm", "application/wasm", "\x00asm\x01\x00", "unlike"},
	} {
		g := s.do(ask{method: "PUT", path: path + "/files/" + url.PathEscape(x.name), body: x.body, heads: []string{"Content-Type: " + x.media}})
		if x.code == "" && g.status != http.StatusCreated {
			t.Errorf("%d, %s as %s: %d %s", i, x.name, x.media, g.status, g.body)
		}
		if x.code != "" {
			s.refusedAs(g, http.StatusUnsupportedMediaType, x.code)
		}
	}
	if g := s.get(path+"/files/a.csv", nil); g.head.Get("Content-Type") != "text/csv; charset=utf-8" {
		t.Errorf("a text is given as %q", g.head.Get("Content-Type"))
	}
}

// What comes within an exported job was looked at by nobody: it is kept, and shown only where it is what it says.
func TestWhatComesWithinAJobIsShownOnlyWhereItIsWhatItSays(t *testing.T) {
	s := serve(t)
	id := s.job("Garage", `{}`).ID
	for name, body := range map[string]string{"good.jpg": picture(t, "jpeg", 4, 3), "bad.jpg": "<html><script>alert(1)</script>"} {
		if _, err := s.Jobs.PutFile(t.Context(), store.ID(id), store.NewFile{Name: name, MediaType: "image/jpeg", When: s.Now(), Who: "Asha", Bytes: []byte(body)}); err != nil {
			t.Fatal(err)
		}
		g := s.get("/api/jobs/"+id+"/files/"+name, nil)
		media, how := "image/jpeg", "inline"
		if name == "bad.jpg" {
			media, how = "application/octet-stream", "attachment"
		}
		if g.head.Get("Content-Type") != media || !strings.HasPrefix(g.head.Get("Content-Disposition"), how) || string(g.body) != body {
			t.Errorf("%s is given as %v", name, g.head)
		}
	}
}

// manyOf is a store that says that each job has these files.
type manyOf struct {
	store.Store
	files []store.File
}

func (m manyOf) Files(context.Context, store.ID) ([]store.File, error) { return m.files, nil }

// ASVS 5.0 5.2.4: files of a job are counted and weighed.
func TestAJobHasRoomForSoManyFiles(t *testing.T) {
	s := serve(t)
	id := s.job("Garage", `{}`).ID
	put := func(name string) got {
		return s.do(ask{method: "PUT", path: "/api/jobs/" + id + "/files/" + name, body: "a,b", heads: []string{"Content-Type: text/csv"}})
	}
	put("kept.csv")
	few := s.Jobs
	for _, x := range []struct {
		files int
		size  int64
		full  bool
	}{{1999, 1, false}, {2000, 1, true}, {9, 900 << 20 / 9, false}, {9, 922 << 20 / 9, true}} {
		list := make([]store.File, x.files)
		for i := range list {
			list[i] = store.File{Name: fmt.Sprint("f", i), Size: x.size}
		}
		s.Jobs = manyOf{few, list}
		g := put(fmt.Sprintf("new%d-%d.csv", x.files, x.size))
		if !x.full && g.status != http.StatusCreated {
			t.Errorf("%d files of %d bytes: %d %s", x.files, x.size, g.status, g.body)
		}
		if x.full {
			s.refusedAs(g, http.StatusInsufficientStorage, "many")
			s.Jobs = manyOf{few, append(list, store.File{Name: "kept.csv"})}
			if g := put("kept.csv"); g.status != http.StatusCreated {
				t.Errorf("what is kept already is sent again: %d %s", g.status, g.body)
			}
		}
	}
}
