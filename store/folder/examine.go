package folder

import (
	"context"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// Examine reads files of a folder, most of them drawn by chance where there are more, and holds each against its hash. It gives how
// many were read, and what is wrong with any.
func Examine(ctx context.Context, dir string, most int) (looked int, faults []error) {
	var hashes []string
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && len(e.Name()) == hashLength {
			hashes = append(hashes, e.Name())
		}
		return err
	})
	if err != nil && !os.IsNotExist(err) {
		faults = append(faults, Fault(dir, err))
	}
	rand.Shuffle(len(hashes), func(i, j int) { hashes[i], hashes[j] = hashes[j], hashes[i] })
	f := &Folder{dir}
	for _, hash := range hashes[:min(most, len(hashes))] {
		if ctx.Err() != nil {
			return looked, faults
		}
		looked++
		if _, err := f.Get(ctx, hash); err != nil {
			faults = append(faults, err)
		}
	}
	return looked, faults
}

// hashLength is that of a SHA-256 in digits 0-9 a-f.
const hashLength = 64
