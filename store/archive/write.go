package archive

import (
	"archive/zip"
	"encoding/json"
	"fmt"
	"io"
	"sort"

	"gelwright/store"
)

// Fetch gives the bytes that a hash names.
type Fetch func(hash string) ([]byte, error)

// Write writes a job as one file. text gives documents and changes, file gives files and photos.
func Write(w io.Writer, c Contents, text, file Fetch) error {
	job, err := json.MarshalIndent(jobFile{c.Job, c.Files}, "", " ")
	if err != nil {
		return err
	}
	states, err := json.MarshalIndent(c.States, "", " ")
	if err != nil {
		return err
	}
	parts := []part{
		{jobName, zip.Deflate, func() ([]byte, error) { return job, nil }},
		{statesName, zip.Deflate, func() ([]byte, error) { return states, nil }},
	}
	form := versionBefore
	if len(c.Sheets) > 0 {
		form = version
		sheets, err := json.MarshalIndent(c.Sheets, "", " ")
		if err != nil {
			return err
		}
		parts = append(parts, part{officeName, zip.Deflate, func() ([]byte, error) { return sheets, nil }})
	}
	for _, hash := range textsOf(c.States) {
		parts = append(parts, part{textName(hash), zip.Deflate, func() ([]byte, error) { return text(hash) }})
	}
	// Photos are packed by their own makers.
	for _, hash := range filesOf(c.Files) {
		parts = append(parts, part{fileFolder + hash, zip.Store, func() ([]byte, error) { return file(hash) }})
	}
	return writeParts(w, form, parts)
}

// part is an entry that is to be written.
type part struct {
	name   string
	method uint16
	bytes  func() ([]byte, error)
}

// writeParts writes the entries and after them their manifest, so that none need be held.
func writeParts(w io.Writer, form int, parts []part) error {
	z := zip.NewWriter(w)
	m := manifest{Format: format, Version: form}
	for _, p := range parts {
		raw, err := p.bytes()
		if err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		if err := put(z, p.name, p.method, raw); err != nil {
			return err
		}
		m.Entries = append(m.Entries, entry{p.name, int64(len(raw)), Hash(raw)})
	}
	raw, err := json.MarshalIndent(m, "", " ")
	if err != nil {
		return err
	}
	if err := put(z, manifestName, zip.Deflate, raw); err != nil {
		return err
	}
	return z.Close()
}

// put writes an entry without a time: the same job, the same bytes.
func put(z *zip.Writer, name string, method uint16, raw []byte) error {
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
	if err != nil {
		return err
	}
	_, err = w.Write(raw)
	return err
}

// textsOf are the hashes of documents and changes, each once, in order.
func textsOf(states []State) []string {
	seen := map[string]bool{"": true}
	var out []string
	for i := range states {
		for _, hash := range []string{states[i].Document, states[i].Change} {
			if !seen[hash] {
				seen[hash] = true
				out = append(out, hash)
			}
		}
	}
	sort.Strings(out)
	return out
}

// filesOf are the hashes of files, each once, in order.
func filesOf(files []store.File) []string {
	seen := map[string]bool{}
	var out []string
	for i := range files {
		if hash := files[i].SHA256; !seen[hash] {
			seen[hash] = true
			out = append(out, hash)
		}
	}
	sort.Strings(out)
	return out
}
