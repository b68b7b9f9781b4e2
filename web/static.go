package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
)

//go:embed all:static
var pageFolder embed.FS

//go:embed all:engine
var engineFolder embed.FS

// Names within the program.
const (
	staticDir, engineDir = "static", "engine"
	indexName            = "index.html"
	officeName           = "office.html"
	engineName           = "desk.wasm"
	workerName           = "engine.js"
	glueName             = "wasm_exec.js"
	packedSuffix         = ".br"
)

// mediaTypes of what the page is made of; what has none is not served.
var mediaTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8", ".svg": "image/svg+xml", ".png": "image/png",
	".wasm": "application/wasm", ".json": "application/json", ".webmanifest": "application/manifest+json",
}

// file is one file of the page.
type file struct {
	media string
	// raw is its bytes; of one that is kept packed they are made when a browser asks that cannot unpack it.
	raw    func() ([]byte, error)
	packed []byte
	tag    string // a hash of its content
}

// files is the page as it stands in the program.
type files struct {
	of map[string]*file
	// version is a hash of all of them: what is asked for under it never changes.
	version string
	engine  bool // the engine for browsers is in the program
}

// readFiles reads page and engine out of the program.
func readFiles(page, engine fs.FS) (*files, error) {
	all := &files{of: map[string]*file{}}
	for _, from := range []struct {
		in  fs.FS
		dir string
	}{{page, staticDir}, {engine, engineDir}} {
		err := fs.WalkDir(from.in, from.dir, func(name string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			raw, err := fs.ReadFile(from.in, name)
			if err != nil {
				return err
			}
			if name = strings.TrimPrefix(name, from.dir+"/"); from.dir == staticDir || name == glueName || name == engineName+packedSuffix {
				all.add(name, raw)
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	_, all.engine = all.of[engineName]
	all.glue()
	all.seal()
	return all, nil
}

// Built says what of the page is not in this program; nil where it is whole.
func Built() error {
	all, err := readFiles(pageFolder, engineFolder)
	switch {
	case err != nil:
		return err
	case all.of[indexName] == nil:
		return errors.New("the page is not in the program")
	case !all.engine:
		return errors.New("the engine for browsers is not in the program, so a page plans nothing")
	}
	return nil
}

// add takes a file in.
func (a *files) add(name string, content []byte) {
	f := &file{tag: hashOf(content), raw: func() ([]byte, error) { return content, nil }}
	if plain, packed := strings.CutSuffix(name, packedSuffix); packed {
		name, f.packed = plain, content
		f.raw = sync.OnceValues(func() ([]byte, error) { return io.ReadAll(brotli.NewReader(bytes.NewReader(content))) })
	}
	if f.media = mediaTypes[path.Ext(name)]; f.media != "" {
		a.of[name] = f
	}
}

// glue puts the toolchain's own script before the worker's, which may load no other.
func (a *files) glue() {
	worker, glue := a.of[workerName], a.of[glueName]
	if worker == nil || glue == nil {
		return
	}
	first, _ := glue.raw() // both are kept as they are
	then, _ := worker.raw()
	a.add(workerName, slices.Concat(first, []byte("\n"), then))
}

// local is a reference of the page's first file to another.
var local = regexp.MustCompile(`(src|href)="/([^"]+)"`)

// seal names the version and has the first files ask for the others under it.
func (a *files) seal() {
	var names []string
	for name := range a.of {
		names = append(names, name)
	}
	slices.Sort(names)
	var all strings.Builder
	for _, name := range names {
		fmt.Fprintf(&all, "%s %s\n", name, a.of[name].tag)
	}
	a.version = hashOf([]byte(all.String()))
	for _, name := range []string{indexName, peopleName, officeName} {
		if first := a.of[name]; first != nil {
			text, _ := first.raw() // it is kept as it is
			a.add(name, a.sealed(text))
		}
	}
}

// sealed is a first file that asks for the others under this version.
func (a *files) sealed(text []byte) []byte {
	return local.ReplaceAllFunc(text, func(m []byte) []byte {
		part := local.FindSubmatch(m)
		if _, there := a.of[string(part[2])]; !there {
			return m
		}
		return fmt.Appendf(nil, `%s="/v/%s/%s"`, part[1], a.version, part[2])
	})
}

// hashOf names content by its bytes.
func hashOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:10])
}

// page answers with a file of the page; a browser asks each time whether it is still the same.
func (s *Server) page(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Cache-Control", "no-cache")
	return s.give(w, r, r.PathValue("name"))
}

// officePage answers with the first file of the office.
func (s *Server) officePage(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Cache-Control", "no-cache")
	return s.give(w, r, officeName)
}

// pageOf answers with a file of this version of the page, which a browser may keep.
func (s *Server) pageOf(w http.ResponseWriter, r *http.Request) error {
	if r.PathValue("version") != s.files.version {
		return unknown(r.URL.Path, "Load the page again", "this is of another version of the page")
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	return s.give(w, r, r.PathValue("name"))
}

// icon answers a browser that asks for a picture of the page by itself: there is none.
func (s *Server) icon(w http.ResponseWriter, _ *http.Request) error {
	w.Header().Set("Cache-Control", "max-age=86400")
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// give answers with a file.
func (s *Server) give(w http.ResponseWriter, r *http.Request, name string) error {
	if name == "" {
		name = indexName
	}
	f := s.files.of[name]
	switch {
	case f == nil && (name == engineName || name == glueName):
		return unknown(name, "Run 'bash scripts/build.sh' and start bin/gelwright: it carries the engine",
			"the engine for browsers was not built into this program")
	case f == nil && name == indexName:
		return unknown(name, "Run 'go -C tools/page run .' and build the program again", "the page was not built into this program")
	case f == nil:
		return noSuchPath(r)
	}
	h := w.Header()
	tag := f.tag
	raw := f.packed
	if raw != nil {
		h.Set("Vary", "Accept-Encoding")
	}
	if raw != nil && takes(r, "br") {
		h.Set("Content-Encoding", "br")
		tag += "-br"
	} else {
		var err error
		if raw, err = f.raw(); err != nil {
			return err
		}
	}
	tag = strconv.Quote(tag)
	h.Set("ETag", tag)
	if slices.Contains(listed(r.Header.Get("If-None-Match")), tag) {
		h.Del("Content-Encoding")
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	h.Set("Content-Type", f.media)
	h.Set("Content-Length", strconv.Itoa(len(raw)))
	if r.Method != http.MethodHead {
		_, _ = w.Write(raw) // whoever has gone away misses nothing
	}
	return nil
}

// takes reports whether a browser unpacks what is packed so.
func takes(r *http.Request, coding string) bool {
	for _, x := range listed(r.Header.Get("Accept-Encoding")) {
		name, weight, _ := strings.Cut(x, ";")
		if strings.TrimSpace(name) != coding {
			continue
		}
		q, err := strconv.ParseFloat(strings.TrimPrefix(strings.TrimSpace(weight), "q="), 64)
		return err != nil || q > 0
	}
	return false
}

// listed are the parts of a head's list.
func listed(text string) []string {
	var out []string
	for x := range strings.SplitSeq(text, ",") {
		out = append(out, strings.TrimSpace(x))
	}
	return out
}
