package archive

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"gelwright/store"
)

// Reader is an archive that was read whole and found in order.
type Reader struct {
	Contents
	entries map[string]*zip.File
	told    map[string]entry
}

// damaged is an error of the file that was given.
func damaged(place, format string, args ...any) error {
	return &store.Error{Kind: store.Damaged, Place: place, Found: fmt.Sprintf(format, args...),
		Remedy: "Export the job again where it is kept, and send that file whole; nothing of this one was kept"}
}

// Read reads the archive that r holds in its first size bytes. What it gives back is whole: every entry was read and is what
// the manifest says.
func Read(ctx context.Context, r io.ReaderAt, size int64) (*Reader, error) {
	if size > store.MostImportBytes {
		return nil, &store.Error{Kind: store.TooLarge, Place: "file", Found: fmt.Sprintf("it has %d MB", size>>20),
			Remedy: "An exported job may have 1024 MB; nothing of this one was kept"}
	}
	guard := &sparing{r: r, left: mostDirectoryBytes}
	z, err := zip.NewReader(guard, size)
	if err != nil {
		if errors.Is(err, errSpared) {
			return nil, damaged("file", "its list of entries is longer than that of any job")
		}
		return nil, damaged("file", "it is no exported job, or a part of one (%v)", err)
	}
	guard.free = true
	out := &Reader{entries: map[string]*zip.File{}, told: map[string]entry{}}
	if err := out.index(z); err != nil {
		return nil, err
	}
	if err := out.manifest(); err != nil {
		return nil, err
	}
	if err := out.verify(ctx); err != nil {
		return nil, err
	}
	if err := out.contents(); err != nil {
		return nil, err
	}
	return out, nil
}

var errSpared = errors.New("too much to read")

// sparing reads no more than it has left until it is free: a zip's own list is read before its length is known.
type sparing struct {
	r    io.ReaderAt
	left int64
	free bool
}

func (s *sparing) ReadAt(p []byte, off int64) (int, error) {
	if !s.free {
		if s.left -= int64(len(p)); s.left < 0 {
			return 0, errSpared
		}
	}
	return s.r.ReadAt(p, off)
}

// index takes the entries by name and refuses names that no job has.
func (r *Reader) index(z *zip.Reader) error {
	for _, f := range z.File {
		text, file := hashIn(f.Name, textFolder, textEnd), hashIn(f.Name, fileFolder, "")
		switch {
		case f.Name != manifestName && f.Name != jobName && f.Name != statesName && f.Name != officeName && text == "" && file == "":
			return damaged(place(f.Name), "it is no part of a job")
		case r.entries[f.Name] != nil:
			return damaged(place(f.Name), "it is there twice")
		case f.Method != zip.Store && f.Method != zip.Deflate, f.Flags&1 != 0:
			return damaged(place(f.Name), "it is packed or locked in a way that no job is")
		}
		r.entries[f.Name] = f
	}
	return nil
}

// place is the name of an entry, which may be anything, fit to stand in a line.
func place(name string) string {
	const most = 90
	if len(name) > most {
		name = name[:most] + "…"
	}
	return fmt.Sprintf("entry %q", name)
}

// manifest reads the list and holds it against what is there.
func (r *Reader) manifest() error {
	raw, err := r.read(manifestName, mostManifestBytes)
	if err != nil {
		return err
	}
	// A newer version may have fields that this one does not know.
	var head struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(raw, &head); err != nil || head.Format != format || head.Version < 1 {
		return damaged(manifestName, "it is not that of an exported job")
	}
	if head.Version > version {
		return &store.Error{Kind: store.Newer, Place: manifestName,
			Found:  fmt.Sprintf("the file is of version %d, this program reads up to %d", head.Version, version),
			Remedy: "Open it with a newer gelwright; nothing of it was kept"}
	}
	var m manifest
	if err := strictly(raw, &m); err != nil {
		return damaged(manifestName, "%v", err)
	}
	var sum int64
	for _, e := range m.Entries {
		if err := r.tell(e); err != nil {
			return err
		}
		if sum += e.Size; sum > mostUnpackedBytes {
			return &store.Error{Kind: store.TooLarge, Place: manifestName, Found: "unpacked it has more than 2048 MB",
				Remedy: "Nothing of it was kept"}
		}
	}
	for name := range r.entries {
		if _, told := r.told[name]; !told && name != manifestName {
			return damaged(place(name), "the manifest does not name it")
		}
	}
	return nil
}

// tell takes a line of the manifest.
func (r *Reader) tell(e entry) error {
	_, twice := r.told[e.Name]
	f := r.entries[e.Name]
	switch {
	case twice || e.Name == manifestName:
		return damaged(place(e.Name), "the manifest names it twice")
	case f == nil:
		return damaged(place(e.Name), "it is missing")
	case e.Size < 0 || e.Size > mostOf(e.Name):
		return &store.Error{Kind: store.TooLarge, Place: place(e.Name), Found: fmt.Sprintf("it has %d bytes, the most is %d", e.Size,
			mostOf(e.Name)), Remedy: "Nothing of the file was kept"}
	case f.UncompressedSize64 != uint64(e.Size):
		return damaged(place(e.Name), "it has %d bytes, its manifest says %d", f.UncompressedSize64, e.Size)
	}
	r.told[e.Name] = e
	return nil
}

// mostOf is how large an entry may be, bytes.
func mostOf(name string) int64 {
	switch {
	case name == jobName:
		return mostJobBytes
	case name == statesName:
		return mostStatesBytes
	case name == officeName:
		return mostOfficeBytes
	case strings.HasPrefix(name, textFolder):
		return store.MostDocumentBytes
	}
	return store.MostFileBytes
}

// read unpacks an entry of at most most bytes; a stream that is longer than it says is not followed.
func (r *Reader) read(name string, most int64) ([]byte, error) {
	f := r.entries[name]
	if f == nil {
		return nil, damaged(name, "it is missing: this is no exported job")
	}
	in, err := f.Open()
	if err != nil {
		return nil, damaged(place(name), "%v", err)
	}
	defer in.Close()
	raw, err := io.ReadAll(io.LimitReader(in, most+1))
	if err != nil {
		return nil, damaged(place(name), "%v", err)
	}
	if int64(len(raw)) > most {
		return nil, damaged(place(name), "it has more than the %d bytes that it may have", most)
	}
	return raw, nil
}

// entry reads an entry and holds it against the manifest.
func (r *Reader) entry(name string) ([]byte, error) {
	e, told := r.told[name]
	if !told {
		return nil, damaged(place(name), "it is missing")
	}
	raw, err := r.read(name, e.Size)
	if err != nil {
		return nil, err
	}
	if hash := Hash(raw); hash != e.SHA256 {
		return nil, damaged(place(name), "its bytes are not those that the manifest names (SHA-256)")
	}
	return raw, nil
}

// verify reads every entry once.
func (r *Reader) verify(ctx context.Context) error {
	for name, e := range r.told {
		if err := ctx.Err(); err != nil {
			return err
		}
		raw, err := r.entry(name)
		if err != nil {
			return err
		}
		text, file := hashIn(name, textFolder, textEnd), hashIn(name, fileFolder, "")
		if text+file != "" && text+file != e.SHA256 {
			return damaged(place(name), "its name is not the hash of its bytes (SHA-256)")
		}
		if text != "" && !json.Valid(raw) {
			return damaged(place(name), "it is not JSON")
		}
	}
	return nil
}

// Text gives a document or change.
func (r *Reader) Text(hash string) ([]byte, error) { return r.entry(textName(hash)) }

// File gives the bytes of a file.
func (r *Reader) File(hash string) ([]byte, error) { return r.entry(fileFolder + hash) }

// strictly reads JSON that has no field unknown here and nothing after its value.
func strictly(raw []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something stands after its end")
	}
	return nil
}
