package folder

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"gelwright/store"
)

// Temp begins the name of what is being written: whoever was killed meanwhile left it, and Sweep takes it away.
const Temp = ".new-"

// Folder is a folder of files.
type Folder struct{ dir string }

// Open opens a folder, and makes it, through to the disk, where it is not there.
func Open(dir string) (*Folder, error) {
	_, err := os.Stat(dir)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, Fault(dir, err)
	}
	if errors.Is(err, fs.ErrNotExist) {
		// A folder may be made in one that may not be read: then the system alone decides when it is on the disk.
		if err := Sync(filepath.Dir(dir)); err != nil && !errors.Is(err, fs.ErrPermission) {
			return nil, Fault(dir, err)
		}
	}
	return &Folder{dir}, Fault(dir, Sync(dir))
}

// path is where the bytes of a hash lie.
func (f *Folder) path(hash string) string { return filepath.Join(f.dir, hash[:2], hash) }

// Get reads the bytes of a hash and holds them against it.
func (f *Folder) Get(_ context.Context, hash string) ([]byte, error) {
	path := f.path(hash)
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, damaged(path, "it is missing")
	}
	if err != nil {
		return nil, Fault(path, err)
	}
	if sum := sha256.Sum256(raw); hex.EncodeToString(sum[:]) != hash {
		return nil, damaged(path, "its bytes are not those that were written (SHA-256)")
	}
	return raw, nil
}

// Put writes bytes under their hash, whole or not at all, through to the disk. What is there already, and whole, stays.
func (f *Folder) Put(ctx context.Context, hash string, raw []byte) (made bool, err error) {
	if ctx.Err() != nil {
		return false, ctx.Err()
	}
	if _, err := f.Get(ctx, hash); err == nil {
		return false, nil
	}
	path := f.path(hash)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return false, Fault(f.dir, err)
	}
	temp, err := os.CreateTemp(f.dir, Temp)
	if err != nil {
		return false, Fault(f.dir, err)
	}
	defer os.Remove(temp.Name())
	_, err = temp.Write(raw)
	if err == nil {
		err = temp.Sync()
	}
	if err := errors.Join(err, temp.Close()); err != nil {
		return false, Fault(f.dir, err)
	}
	if err := os.Rename(temp.Name(), path); err != nil {
		return false, Fault(f.dir, err)
	}
	return true, Fault(f.dir, errors.Join(Sync(filepath.Dir(path)), Sync(f.dir)))
}

// Drop takes away the bytes of a hash.
func (f *Folder) Drop(_ context.Context, hash string) error {
	path := f.path(hash)
	return Fault(path, os.Remove(path))
}

// Sweep takes away what a run that was killed had begun to write. Its caller holds a lock that every writer of files holds too, so
// nobody is writing them now.
func (f *Folder) Sweep() error { return Sweep(f.dir) }

// Sweep takes away of one folder what begins with Temp.
func Sweep(dir string) error {
	found, err := os.ReadDir(dir)
	if err != nil {
		return Fault(dir, err)
	}
	for _, e := range found {
		if strings.HasPrefix(e.Name(), Temp) {
			if err := os.Remove(filepath.Join(dir, e.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return Fault(dir, err)
			}
		}
	}
	return nil
}

func damaged(path, format string, args ...any) error {
	return &store.Error{Kind: store.Damaged, Place: path, Found: fmt.Sprintf(format, args...),
		Remedy: "Bring it back from a copy of the folder or from an exported job"}
}
