package scene

import (
	"fmt"
	"strings"
)

// Piece is one named thing of a drawing.
type Piece struct {
	ID, Class, Title, Layer string
	Box                     Box
}

// Pieces returns every item that bears a title, in drawing order: the text form
// of the drawing, for people who do not see it.
func (s *Scene) Pieces() []Piece {
	v := &namer{}
	s.Walk(v)
	return v.out
}

// Text returns the text form: the scene's title and one line for each named piece.
func (s *Scene) Text() string {
	var b strings.Builder
	if s.Title != "" {
		fmt.Fprintln(&b, s.Title)
	}
	if s.Description != "" {
		fmt.Fprintln(&b, s.Description)
	}
	for _, p := range s.Pieces() {
		fmt.Fprintf(&b, "- %s\n", p.Title)
	}
	return b.String()
}

// Box returns the box around all items, line widths left out.
func (s *Scene) Box() Box {
	v := &namer{}
	s.Walk(v)
	return v.all
}

// BoxOf returns the box around some items.
func BoxOf(items ...Item) Box { return (&Scene{Items: items}).Box() }

// namer gathers titles, and the box of each titled group from its items.
type namer struct {
	out  []Piece
	open []int // index into out, −1 for groups without a title
	all  Box
}

func (n *namer) take(b Box) {
	n.all = n.all.Join(b)
	for _, i := range n.open {
		if i >= 0 {
			n.out[i].Box = n.out[i].Box.Join(b)
		}
	}
}

func (n *namer) name(m Meta) bool {
	if m.Title == "" {
		return false
	}
	n.out = append(n.out, Piece{ID: m.ID, Class: m.Class, Title: m.Title, Layer: m.Layer})
	return true
}

func (n *namer) Open(m Meta) {
	i := -1
	if n.name(m) {
		i = len(n.out) - 1
	}
	n.open = append(n.open, i)
}

func (n *namer) Close() { n.open = n.open[:len(n.open)-1] }

func (n *namer) leaf(m Meta, b Box) {
	if n.name(m) {
		n.out[len(n.out)-1].Box = b
	}
	n.take(b)
}

func (n *namer) Shape(s Shape) {
	var b Box
	for _, p := range s.Paths {
		for _, q := range p.Points(chordToleranceMM) {
			b = b.Take(q)
		}
	}
	n.leaf(s.Meta, b)
}

func (n *namer) Text(t Text) {
	var b Box
	for _, q := range t.Quad(0) {
		b = b.Take(q)
	}
	n.leaf(t.Meta, b)
}
