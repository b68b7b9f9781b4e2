package backup

import (
	"archive/zip"
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"gelwright/store"
	"gelwright/store/tables"
)

// Limits of what is read: a manifest, and a row, which has at most a packed document.
const (
	mostManifestBytes = 256 << 20
	mostLineBytes     = 64 << 20
)

// Reader is a backup that was read whole and found in order.
type Reader struct {
	Manifest
	entries map[string]*zip.File
}

// Read reads the backup that r holds in its first size bytes: every entry is what the manifest says, and nothing is over.
func Read(ctx context.Context, r io.ReaderAt, size int64) (*Reader, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, damaged("file", "it is no backup, or a part of one (%v)", err)
	}
	out := &Reader{entries: map[string]*zip.File{}}
	for _, f := range z.File {
		if out.entries[f.Name] != nil {
			return nil, damaged("file", "it has %q twice", f.Name)
		}
		out.entries[f.Name] = f
	}
	if err := out.manifest(); err != nil {
		return nil, err
	}
	want := map[string]File{}
	for _, t := range out.Tables {
		want[tableFolder+t.Name+tableEnd] = t.File
	}
	for _, f := range out.Files {
		want[fileFolder+f.SHA256] = f
	}
	if len(want) != len(out.Tables)+len(out.Files) || len(want)+1 != len(out.entries) {
		return nil, damaged(manifestName, "it names %d entries, the file has %d", len(out.Tables)+len(out.Files)+1, len(out.entries))
	}
	for name, f := range want {
		if strings.HasPrefix(name, fileFolder) && f.Size > store.MostFileBytes {
			return nil, damaged(name, "it is larger than any file that is kept")
		}
		if err := out.verify(ctx, name, f); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// manifest reads what the backup says that it has.
func (r *Reader) manifest() error {
	f := r.entries[manifestName]
	if f == nil {
		return damaged("file", "it is no backup: it has no %s", manifestName)
	}
	in, err := f.Open()
	if err != nil {
		return damaged(manifestName, "%v", err)
	}
	defer in.Close()
	raw, err := io.ReadAll(io.LimitReader(in, mostManifestBytes))
	if err != nil {
		return damaged(manifestName, "%v", err)
	}
	if err := json.Unmarshal(raw, &r.Manifest); err != nil {
		return damaged(manifestName, "%v", err)
	}
	if r.Format > format {
		return &store.Error{Kind: store.Newer, Place: manifestName,
			Found:  fmt.Sprintf("it was written by a newer gelwright (format %d)", r.Format),
			Remedy: "Restore it with that release or a newer one; nothing of it was kept"}
	}
	return nil
}

// verify holds an entry against what the manifest says of it.
func (r *Reader) verify(ctx context.Context, name string, want File) error {
	f := r.entries[name]
	if f == nil {
		return damaged(name, "it is missing")
	}
	in, err := f.Open()
	if err != nil {
		return damaged(name, "%v", err)
	}
	defer in.Close()
	sum := sha256.New()
	n, err := io.Copy(sum, io.LimitReader(in, want.Size+1))
	if err != nil || n != want.Size || hex.EncodeToString(sum.Sum(nil)) != want.SHA256 {
		return damaged(name, "its bytes are not those that were written (SHA-256)")
	}
	return ctx.Err()
}

// Restore fills an empty store, whose database is of the backup's version, and holds what is there then against the backup.
func (r *Reader) Restore(ctx context.Context, db *tables.DB) error {
	for _, f := range r.Files {
		raw, err := r.bytes(f)
		if err != nil {
			return err
		}
		if err := db.KeepFile(ctx, f.SHA256, raw); err != nil {
			return err
		}
	}
	if err := db.Fill(ctx, func(in *tables.Filling) error {
		for _, t := range r.Tables {
			if err := r.rows(ctx, in, t); err != nil {
				return fmt.Errorf("%s: %w", t.Name, err)
			}
		}
		return nil
	}); err != nil {
		return err
	}
	there, err := Write(ctx, db, io.Discard)
	if err != nil {
		return err
	}
	if !there.same(&r.Manifest) {
		return &store.Error{Kind: store.Failed, Place: "restored", Found: "what is there now is not what the backup has",
			Remedy: "Do not use it; give another empty folder or database"}
	}
	return nil
}

// bytes are those of a file.
func (r *Reader) bytes(f File) ([]byte, error) {
	in, err := r.entries[fileFolder+f.SHA256].Open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	raw := make([]byte, f.Size)
	_, err = io.ReadFull(in, raw)
	return raw, err
}

// rows puts the rows of a table in.
func (r *Reader) rows(ctx context.Context, to *tables.Filling, t Table) error {
	in, err := r.entries[tableFolder+t.Name+tableEnd].Open()
	if err != nil {
		return err
	}
	defer in.Close()
	lines := bufio.NewScanner(in)
	lines.Buffer(make([]byte, 1<<16), mostLineBytes)
	n := 0
	err = to.Rows(ctx, t.Name, t.Columns, func() ([]any, error) {
		if !lines.Scan() {
			return nil, lines.Err()
		}
		n++
		row, err := rowOf(lines.Bytes(), t.Columns)
		if err != nil {
			return nil, damaged(fmt.Sprintf("%s, row %d", t.Name, n), "%v", err)
		}
		return row, nil
	})
	if err == nil && n != t.Rows {
		err = damaged(t.Name, "it has %d rows, %d are told", n, t.Rows)
	}
	return err
}

// same reports whether two backups have the same content.
func (m *Manifest) same(other *Manifest) bool {
	a, err := json.Marshal(m)
	b, err2 := json.Marshal(other)
	return errors.Join(err, err2) == nil && string(a) == string(b)
}
