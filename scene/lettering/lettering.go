// Package lettering is the fonts that every drawing and paper is lettered with: the Go fonts
// (Bigelow & Holmes, BSD licence), so that a text is as long on paper, in a picture and on a page.
// It is for those who draw outlines or embed the files; how long a text is, package scene knows
// without them.
package lettering

import (
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

var regularFont, boldFont = parse(goregular.TTF), parse(gobold.TTF)

func parse(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("lettering: embedded font: " + err.Error()) // our own file, never input
	}
	return f
}

// Font returns the parsed letters, for back ends that draw outlines.
func Font(bold bool) *sfnt.Font {
	if bold {
		return boldFont
	}
	return regularFont
}

// TTF returns the font file, for back ends that embed it.
func TTF(bold bool) []byte {
	if bold {
		return gobold.TTF
	}
	return goregular.TTF
}
