package backup

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"hash"
	"io"

	"gelwright/store/tables"
)

// Write writes all that is kept, as it is at one moment, and returns what it wrote.
func Write(ctx context.Context, db *tables.DB, w io.Writer) (*Manifest, error) {
	m := &Manifest{Format: format, Tables: []Table{}, Files: []File{}}
	err := db.Snapshot(ctx, func(s *tables.Snapshot) error {
		z := zip.NewWriter(w)
		m.Version = s.Version
		for _, t := range s.Tables {
			if err := m.table(ctx, z, s, t); err != nil {
				return err
			}
		}
		if err := m.files(ctx, z, s); err != nil {
			return err
		}
		raw, err := json.MarshalIndent(m, "", " ")
		if err != nil {
			return err
		}
		e, err := newEntry(z, manifestName, zip.Deflate)
		if err != nil {
			return err
		}
		if _, err := e.Write(raw); err != nil {
			return err
		}
		return z.Close()
	})
	return m, err
}

// entry is an entry that is written and counted.
type entry struct {
	w    io.Writer
	sum  hash.Hash
	size int64
}

func newEntry(z *zip.Writer, name string, method uint16) (*entry, error) {
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
	return &entry{w: w, sum: sha256.New()}, err
}

func (e *entry) Write(p []byte) (int, error) {
	n, err := e.w.Write(p)
	e.sum.Write(p[:n])
	e.size += int64(n)
	return n, err
}

func (e *entry) file() File { return File{Size: e.size, SHA256: hex.EncodeToString(e.sum.Sum(nil))} }

// table writes a table.
func (m *Manifest) table(ctx context.Context, z *zip.Writer, s *tables.Snapshot, t tables.Carried) error {
	out := Table{Name: t.Name}
	var err error
	if out.Columns, err = s.Columns(ctx, t); err != nil {
		return err
	}
	e, err := newEntry(z, tableFolder+t.Name+tableEnd, zip.Deflate)
	if err != nil {
		return err
	}
	if err := s.Rows(ctx, t, out.Columns, func(row []any) error {
		line, err := lineOf(row)
		if err != nil {
			return err
		}
		out.Rows++
		_, err = e.Write(line)
		return err
	}); err != nil {
		return err
	}
	out.File = e.file()
	m.Tables = append(m.Tables, out)
	return nil
}

// files writes the bytes of files, which are packed by their own makers.
func (m *Manifest) files(ctx context.Context, z *zip.Writer, s *tables.Snapshot) error {
	hashes, err := s.Hashes(ctx)
	if err != nil {
		return err
	}
	for _, hash := range hashes {
		raw, err := s.File(ctx, hash)
		if err != nil {
			return err
		}
		e, err := newEntry(z, fileFolder+hash, zip.Store)
		if err != nil {
			return err
		}
		if _, err := e.Write(raw); err != nil {
			return err
		}
		m.Files = append(m.Files, e.file())
	}
	return nil
}
