package backup

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math"

	"gelwright/store"
	"gelwright/store/tables"
)

const (
	format       = 1
	manifestName = "backup.json"
	tableFolder  = "tables/"
	tableEnd     = ".jsonl"
	fileFolder   = "files/"
)

// Manifest says what a backup has.
type Manifest struct {
	Format  int     `json:"format"`
	Version int     `json:"version"` // of the database: the number of its newest migration
	Tables  []Table `json:"tables"`
	Files   []File  `json:"files"`
}

// Table is a table of a backup.
type Table struct {
	Name    string          `json:"name"`
	Columns []tables.Column `json:"columns"`
	Rows    int             `json:"rows"`
	File
}

// File is an entry of a backup.
type File struct {
	Size   int64  `json:"size"`
	SHA256 string `json:"sha256"`
}

// Rows is how many rows a table of the backup has; 0 where it has no such table.
func (m *Manifest) Rows(table string) int {
	for _, t := range m.Tables {
		if t.Name == table {
			return t.Rows
		}
	}
	return 0
}

// lineOf is a row as a line.
func lineOf(row []any) ([]byte, error) {
	for i, v := range row {
		switch v := v.(type) {
		case []byte:
			row[i] = base64.StdEncoding.EncodeToString(v)
		case float64:
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, fmt.Errorf("%v is no number that can be written", v)
			}
		}
	}
	line, err := json.Marshal(row)
	return append(line, '\n'), err
}

// rowOf reads a line as a row of columns.
func rowOf(line []byte, columns []tables.Column) ([]any, error) {
	var cells []json.RawMessage
	if err := json.Unmarshal(line, &cells); err != nil {
		return nil, err
	}
	if len(cells) != len(columns) {
		return nil, fmt.Errorf("it has %d values for %d columns", len(cells), len(columns))
	}
	row := make([]any, len(cells))
	for i, cell := range cells {
		if string(cell) == "null" {
			continue
		}
		var err error
		if row[i], err = valueOf(cell, columns[i].Kind); err != nil {
			return nil, fmt.Errorf("%s: %w", columns[i].Name, err)
		}
	}
	return row, nil
}

func valueOf(cell json.RawMessage, kind string) (any, error) {
	switch kind {
	case tables.Integer:
		return read[int64](cell)
	case tables.Real:
		return read[float64](cell)
	case tables.Text:
		return read[string](cell)
	case tables.Bytes:
		return read[[]byte](cell)
	}
	return nil, fmt.Errorf("%q is no kind of column", kind)
}

func read[T any](cell json.RawMessage) (any, error) {
	var v T
	err := json.Unmarshal(cell, &v)
	return v, err
}

// damaged is an error of the backup that was given.
func damaged(place, format string, args ...any) error {
	return &store.Error{Kind: store.Damaged, Place: place, Found: fmt.Sprintf(format, args...),
		Remedy: "Take another backup; nothing of this one was kept"}
}
