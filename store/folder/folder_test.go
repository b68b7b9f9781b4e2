package folder_test

import (
	"os"
	"path/filepath"
	"testing"

	"gelwright/store/folder"
	"gelwright/store/storetest"
	"gelwright/store/tables"
)

func open(t *testing.T) (tables.Files, func(string)) {
	dir := filepath.Join(t.TempDir(), "a", "files")
	f, err := folder.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return f, func(hash string) {
		if err := os.WriteFile(filepath.Join(dir, hash[:2], hash), []byte("other bytes"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

func TestContract(t *testing.T) { storetest.Bytes(t, open) }

func TestSameBytesAtOnce(t *testing.T) { storetest.BytesAtOnce(t, open) }
