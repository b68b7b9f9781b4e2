package storetest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"gelwright/store"
	"gelwright/store/tables"
)

// OpenBytes opens a place of bytes that is empty; spoil writes other bytes over those of a hash, behind its back.
type OpenBytes func(t *testing.T) (files tables.Files, spoil func(hash string))

// Bytes holds a place of bytes to what tables.Files says of it.
func Bytes(t *testing.T, open OpenBytes) {
	files, spoil := open(t)
	ctx := t.Context()
	put := func(raw []byte, want bool) string {
		t.Helper()
		sum := sha256.Sum256(raw)
		hash := hex.EncodeToString(sum[:])
		if made, err := files.Put(ctx, hash, raw); err != nil || made != want {
			t.Fatalf("%d bytes: made %v, %v", len(raw), made, err)
		}
		if got, err := files.Get(ctx, hash); err != nil || !bytes.Equal(got, raw) {
			t.Fatalf("%d bytes: %d came back, %v", len(raw), len(got), err)
		}
		return hash
	}
	says := func(err error, words string) {
		t.Helper()
		if store.KindOf(err) != store.Damaged || !strings.Contains(err.Error(), words) {
			t.Errorf("%v does not say %q", err, words)
		}
	}
	pixels := []byte("pixels")
	hash := put(pixels, true)
	put(pixels, false)
	put(nil, true)
	put(bytes.Repeat([]byte("32 MB.. "), store.MostFileBytes/8), true)
	_, err := files.Get(ctx, strings.Repeat("0", 64))
	says(err, "it is missing")
	spoil(hash)
	_, err = files.Get(ctx, hash)
	says(err, "its bytes are not those that were written")
	put(pixels, true) // mended
	if err := files.Drop(ctx, hash); err != nil {
		t.Fatal(err)
	}
	_, err = files.Get(ctx, hash)
	says(err, "it is missing")
	stopped, stop := context.WithCancel(ctx)
	stop()
	if made, err := files.Put(stopped, hash, pixels); err == nil || made {
		t.Errorf("put after it was called off: made %v, %v", made, err)
	}
	put(pixels, true)
}

// BytesAtOnce puts the same bytes by many at once: all are told that they are kept, and they are.
func BytesAtOnce(t *testing.T, open OpenBytes) {
	files, _ := open(t)
	raw := bytes.Repeat([]byte("pixels"), 10_000)
	sum := sha256.Sum256(raw)
	hash := hex.EncodeToString(sum[:])
	done := make(chan error)
	for range 8 {
		go func() {
			_, err := files.Put(t.Context(), hash, raw)
			done <- err
		}()
	}
	for range 8 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
	if got, err := files.Get(t.Context(), hash); err != nil || !bytes.Equal(got, raw) {
		t.Errorf("%d bytes came back, %v", len(got), err)
	}
}
