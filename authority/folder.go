package authority

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// Names of what lies in the data folder.
const (
	folderName = "authority"
	keptName   = "authority.pem" // key and certificate
	certName   = HandOutName     // the certificate alone, DER, for carrying to a phone by hand
)

// Kept is the file that holds the key, in a data folder.
func Kept(data string) string { return filepath.Join(data, folderName, keptName) }

// Certificate is the file of the certificate alone, in a data folder.
func Certificate(data string) string { return filepath.Join(data, folderName, certName) }

// Open reads the authority of a data folder. Where there is none the error is fs.ErrNotExist.
func Open(data string) (*Authority, error) {
	path := Kept(data)
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	a, err := read(raw)
	if err != nil {
		return nil, fmt.Errorf("%s: %w; bring the file back from a copy, or make a new authority with 'gelwright authority renew'", path, err)
	}
	return a, nil
}

// Begin opens the authority of a data folder, and makes it where there is none; made says that it did. Of several programs that
// begin at once one makes it and the others take that.
func Begin(data string, names Names, now time.Time) (a *Authority, made bool, err error) {
	if a, err = Open(data); !errors.Is(err, fs.ErrNotExist) {
		return a, false, err
	}
	if a, err = makeNew(names, now); err != nil {
		return nil, false, err
	}
	raw, err := a.kept()
	if err != nil {
		return nil, false, err
	}
	switch err := placeWhole(Kept(data), raw, 0o600, os.Link); {
	case errors.Is(err, fs.ErrExist):
		a, err = Open(data)
		return a, false, err
	case err != nil:
		return nil, false, fmt.Errorf("keeping the firm's authority: %w", err)
	}
	return a, true, nil
}

// Renew makes a new authority in place of the one that is there: every phone and computer has to be told to trust it, and to
// trust the old one no more. The old certificate is kept under its day; its key is gone.
func Renew(data string, names Names, now time.Time) (*Authority, error) {
	a, err := makeNew(names, now)
	if err != nil {
		return nil, err
	}
	raw, err := a.kept()
	if err != nil {
		return nil, err
	}
	if old, err := Open(data); err == nil {
		name := fmt.Sprintf("until-%s-%x.crt", now.UTC().Format(time.DateOnly), old.cert.SerialNumber.Bytes()[:4])
		if err := placeWhole(filepath.Join(data, folderName, name), old.Certificate(), 0o644, os.Rename); err != nil {
			return nil, fmt.Errorf("keeping the old certificate: %w", err)
		}
	}
	if err := placeWhole(Kept(data), raw, 0o600, os.Rename); err != nil {
		return nil, fmt.Errorf("keeping the firm's authority: %w", err)
	}
	return a, nil
}

// placeWhole writes a file beside its place and moves it there: it is there whole or not at all, and on the disk when it returns.
func placeWhole(path string, content []byte, mode fs.FileMode, move func(from, to string) error) error {
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(dir, ".writing-*") // made with 0600
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(content)
	if err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := move(f.Name(), path); err != nil {
		return err
	}
	return syncFolder(dir)
}

// syncFolder has the system write down what a folder lists; systems on which a folder cannot be opened so do it by themselves.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, fs.ErrPermission) {
		return err
	}
	return nil
}

// File is a file that is kept beside the authority, for people.
type File struct {
	Name    string
	Content []byte
}

// Lay puts files for people beside the authority, each whole or not at all, and gives their folder. The certificate goes with them.
func (a *Authority) Lay(data string, files ...File) (string, error) {
	dir := filepath.Join(data, folderName)
	for _, f := range append(files, File{certName, a.Certificate()}) {
		if err := placeWhole(filepath.Join(dir, f.Name), f.Content, 0o644, os.Rename); err != nil {
			return "", err
		}
	}
	return dir, nil
}
