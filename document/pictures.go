package document

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	stdpng "image/png"
	"runtime"
	"sync"

	"gelwright/drawing"
	"gelwright/scene"
	"gelwright/scene/png"
)

// pictures paints every sheet, several at once; the order and the bytes do not depend
// on how many.
func pictures(ctx context.Context, sheets []*drawing.Sheet) ([][]byte, error) {
	out := make([][]byte, len(sheets))
	faults := make([]error, len(sheets))
	next := make(chan int)
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(sheets)) {
		all.Add(1)
		go func() {
			defer all.Done()
			for i := range next {
				out[i], faults[i] = picture(sheets[i].Scene)
			}
		}()
	}
	var stopped error
	for i := range sheets {
		if stopped = ctx.Err(); stopped != nil {
			break
		}
		next <- i
	}
	close(next)
	all.Wait()
	if stopped != nil {
		return nil, fmt.Errorf("drawing files: %w", stopped)
	}
	for i, err := range faults {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", sheets[i].Scene.Title, err)
		}
	}
	return out, nil
}

// picture paints one sheet as PNG. Line drawings hold few colours, and a picture with
// a palette is a quarter as large and quicker to write.
func picture(s *scene.Scene) ([]byte, error) {
	painted, err := png.Image(s, pixelsPerMM)
	if err != nil {
		return nil, err
	}
	var img image.Image = painted
	if few, ok := indexed(painted); ok {
		img = few
	}
	var b bytes.Buffer
	if err := stdpng.Encode(&b, img); err != nil {
		return nil, fmt.Errorf("writing the picture: %w", err)
	}
	return b.Bytes(), nil
}

// indexed returns the picture with a palette when 256 colours are enough.
func indexed(from *image.RGBA) (*image.Paletted, bool) {
	to := image.NewPaletted(from.Rect, nil)
	known := map[uint32]uint8{}
	last, index := uint32(0), uint8(0)
	have := false
	for i := 0; i+3 < len(from.Pix); i += 4 {
		c := binary.BigEndian.Uint32(from.Pix[i:])
		if !have || c != last {
			n, ok := known[c]
			if !ok {
				if len(to.Palette) == 256 {
					return nil, false
				}
				n = uint8(len(to.Palette))
				known[c] = n
				to.Palette = append(to.Palette, color.RGBA{R: uint8(c >> 24), G: uint8(c >> 16), B: uint8(c >> 8), A: uint8(c)})
			}
			last, index, have = c, n, true
		}
		to.Pix[i/4] = index
	}
	return to, true
}
