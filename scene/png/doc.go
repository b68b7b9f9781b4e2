// Package png paints a scene as a picture, at so many pixels to the paper
// millimetre. Lines become filled outlines with round joins; lettering is filled
// from the outlines of the Go fonts.
package png
