// Command pack compresses a file by brotli, for scripts that build what is given away:
//
//	go run ./internal/tools/pack [-quality 11] FILE PACKED
//
// PACKED.sum remembers of which content and how well it was packed: one that is packed already as well is left as it is, because
// the best quality takes half a minute.
package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"

	"github.com/andybalholm/brotli"
)

func main() {
	quality := flag.Int("quality", brotli.BestCompression, "0 to 11")
	flag.Parse()
	if flag.NArg() != 2 || *quality < brotli.BestSpeed || *quality > brotli.BestCompression {
		fmt.Fprintln(os.Stderr, "usage: pack [-quality 0…11] FILE PACKED")
		os.Exit(2)
	}
	if err := pack(flag.Arg(0), flag.Arg(1), *quality); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

// sumSuffix is after the name of the file that remembers.
const sumSuffix = ".sum"

// windowBits of 16 MB hold the whole engine.
const windowBits = 24

// pack packs a file where it is not packed yet.
func pack(from, to string, quality int) error {
	content, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	sum := fmt.Sprintf("%x", sha256.Sum256(content))
	if packed(to, sum, quality) {
		return nil
	}
	var b bytes.Buffer
	w := brotli.NewWriterOptions(&b, brotli.WriterOptions{Quality: quality, LGWin: windowBits})
	if _, err := w.Write(content); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	// Without its sum a file is packed again: a run that is cut off leaves nothing that is taken for whole.
	if err := os.RemoveAll(to + sumSuffix); err != nil {
		return err
	}
	if err := os.WriteFile(to, b.Bytes(), 0o644); err != nil {
		return err
	}
	fmt.Printf("%s: %d bytes, %d packed at quality %d\n", from, len(content), b.Len(), quality)
	return os.WriteFile(to+sumSuffix, fmt.Appendf(nil, "%s %d\n", sum, quality), 0o644)
}

// packed reports whether a file is packed already, and as well.
func packed(to, sum string, quality int) bool {
	raw, err := os.ReadFile(to + sumSuffix)
	if err != nil {
		return false
	}
	var was string
	var at int
	if _, err := fmt.Sscan(string(raw), &was, &at); err != nil {
		return false
	}
	_, err = os.Stat(to)
	return err == nil && was == sum && at >= quality
}
