// Package code draws square codes (QR, ISO/IEC 18004) as items of a scene, with the white round them that a reader wants.
package code

import (
	"fmt"

	"github.com/boombuler/barcode/qr"

	"gelwright/scene"
)

// quiet is the modules of white round the code (ISO/IEC 18004).
const quiet = 4

// Square draws content as a code with its quiet zone, its lower left corner at a point, sideMM wide and high. Level M mends a
// seventh of it: dirt and resin (ISO/IEC 18004). Content that is too long for a code is an error.
func Square(content string, at scene.Point, sideMM float64) (scene.Item, error) {
	code, err := qr.Encode(content, qr.M, qr.Auto)
	if err != nil {
		return nil, fmt.Errorf("%q does not go into a square code: %w", content, err)
	}
	b := code.Bounds()
	n := b.Dx()
	module := sideMM / float64(n+2*quiet)
	dark := func(i, k int) bool {
		r, _, _, _ := code.At(b.Min.X+i, b.Min.Y+k).RGBA()
		return r < 0x8000
	}
	var paths []scene.Path
	for k := range n {
		for i := 0; i < n; i++ {
			if !dark(i, k) {
				continue
			}
			to := i
			for to < n && dark(to, k) {
				to++
			}
			x, y := at.X+module*float64(quiet+i), at.Y+sideMM-module*float64(quiet+k)
			paths = append(paths, scene.Rect(x, y-module, x+module*float64(to-i), y))
			i = to
		}
	}
	return scene.Shape{Meta: scene.Meta{Class: "code", Title: "Square code: " + content}, Paths: paths, Filled: true}, nil
}
