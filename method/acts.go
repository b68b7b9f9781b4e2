package method

import (
	_ "embed" // the words of the acts
	"fmt"
	"strconv"
	"strings"
	"sync"
)

// act is the words of one step, with holes in braces for what was planned.
type act struct{ words, why, record string }

//go:embed acts.txt
var actsText string

// acts are the words of the method by their name, read once.
var acts = sync.OnceValue(func() map[string]act { return readActs(actsText) })

// readActs reads acts.txt: see its head.
func readActs(text string) map[string]act {
	out := map[string]act{}
	text = strings.ReplaceAll(text, "\n  ", " ")
	name := ""
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		a := out[name]
		switch {
		case line == "" || line[0] == '#':
			continue
		case line[0] == '[':
			name = strings.Trim(line, "[]")
			continue
		case strings.HasPrefix(line, "why: "):
			a.why = line[len("why: "):]
		case strings.HasPrefix(line, "record: "):
			a.record = line[len("record: "):]
		default:
			a.words = line
		}
		out[name] = a
	}
	return out
}

// holes is what is filled into the words of an act: texts, whole numbers, or numbers printed
// as short as they are; places of a decimal are given by place.
type holes map[string]any

// place is a number with so many places after the point.
func place(v float64, places int) string { return strconv.FormatFloat(v, 'f', places, 64) }

// fill puts what was planned into words, all at once: what is filled in has no holes.
func fill(words string, h holes) string {
	var pairs []string
	for name, v := range h {
		pairs = append(pairs, "{"+name+"}", plain(v))
	}
	return strings.NewReplacer(pairs...).Replace(words)
}

func plain(v any) string {
	if f, ok := v.(float64); ok {
		return fmt.Sprintf("%g", f)
	}
	return fmt.Sprint(v)
}

// said is the words of an act filled in.
func said(name string, h holes) string { return fill(acts()[name].words, h) }
