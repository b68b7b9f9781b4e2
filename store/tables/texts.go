package tables

import (
	"bytes"
	"compress/flate"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"io"

	"gelwright/store/archive"
)

// packed is a document or change as it is kept. Of one that is kept already raw may be left out.
type packed struct {
	hash [sha256.Size]byte
	size int
	raw  []byte
}

// pack packs a text, before any lock is taken; no text is a packed{}.
func pack(text []byte) (packed, error) {
	if len(text) == 0 {
		return packed{}, nil
	}
	p := packed{hash: sha256.Sum256(text), size: len(text)}
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	if err != nil {
		return p, err
	}
	if _, err := w.Write(text); err != nil {
		return p, err
	}
	if err := w.Close(); err != nil {
		return p, err
	}
	p.raw = b.Bytes()
	return p, nil
}

// unpack gives back a text of a database and holds it against its hash.
func unpack(place string, p packed) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(p.raw)), int64(p.size)+1))
	if err != nil || len(text) != p.size || sha256.Sum256(text) != p.hash {
		return nil, damaged(place, "the text %s is not as it was written (SHA-256)", p.name())
	}
	return text, nil
}

// keep keeps a text, once, and returns its row; no row for no text.
func keep(ctx context.Context, tx *Tx, p packed) (sql.NullInt64, error) {
	if p.size == 0 {
		return sql.NullInt64{}, nil
	}
	if p.raw != nil {
		if _, err := tx.ExecContext(ctx, "INSERT INTO text (hash, size, packed) VALUES (?, ?, ?) ON CONFLICT (hash) DO NOTHING",
			p.hash[:], p.size, p.raw); err != nil {
			return sql.NullInt64{}, err
		}
	}
	row := sql.NullInt64{Valid: true}
	err := tx.QueryRowContext(ctx, "SELECT id FROM text WHERE hash = ?", p.hash[:]).Scan(&row.Int64)
	return row, err
}

// textOf reads a text that is known by its hash.
func textOf(ctx context.Context, tx *Tx, p packed) ([]byte, error) {
	if p.size == 0 {
		return nil, nil
	}
	return textNamed(ctx, tx)(p.name())
}

// name is the hash as digits, empty for no text.
func (p packed) name() string {
	if p.size == 0 {
		return ""
	}
	return hex.EncodeToString(p.hash[:])
}

// textNamed gives the reader of texts by their hashes.
func textNamed(ctx context.Context, tx *Tx) archive.Fetch {
	return func(hash string) ([]byte, error) {
		raw, err := hex.DecodeString(hash)
		if err != nil {
			return nil, err
		}
		var p packed
		err = tx.QueryRowContext(ctx, "SELECT size, packed FROM text WHERE hash = ?", raw).Scan(&p.size, &p.raw)
		copy(p.hash[:], raw)
		if err != nil {
			return nil, err
		}
		return unpack(tx.dialect.Place, p)
	}
}
