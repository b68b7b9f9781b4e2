package roof

import (
	"fmt"
	"strings"
)

// DeckPath returns the path of deck i as it stands in files, messages and the list
// of defaults: "decks[main]"; decks[0] when it has no name of its own.
func (j *Job) DeckPath(i int) string {
	names := make([]string, len(j.Decks))
	for k := range j.Decks {
		names[k] = j.Decks[k].Name
	}
	return "decks[" + PieceKey(names, i) + "]"
}

// OpeningPath and PenetrationPath do the same for a piece of deck d under the
// deck's path.
func (d *Deck) OpeningPath(deckPath string, i int) string {
	names := make([]string, len(d.Openings))
	for k := range d.Openings {
		names[k] = d.Openings[k].Name
	}
	return deckPath + ".openings[" + PieceKey(names, i) + "]"
}

// PenetrationPath returns the path of penetration i.
func (d *Deck) PenetrationPath(deckPath string, i int) string {
	names := make([]string, len(d.Penetrations))
	for k := range d.Penetrations {
		names[k] = d.Penetrations[k].Name
	}
	return deckPath + ".penetrations[" + PieceKey(names, i) + "]"
}

// PieceKey returns what stands in the brackets of a path for piece i: its name, or
// its number from 0 when the name is empty, taken already, or would confuse a path.
func PieceKey(names []string, i int) string {
	name := names[i]
	if name == "" || strings.ContainsAny(name, "[]\n") {
		return fmt.Sprint(i)
	}
	for k := range i {
		if names[k] == name {
			return fmt.Sprint(i)
		}
	}
	return name
}

// DefaultDeckName returns the name of deck i of n when the file gives none.
func DefaultDeckName(i, n int) string {
	if n == 1 {
		return "main"
	}
	return fmt.Sprintf("deck %d", i+1)
}

// EdgeWhere names edge i of deck d for people, who count from 1: `deck "main",
// edge 3 of 4 (wall)`.
func (d *Deck) EdgeWhere(i int) string {
	text := fmt.Sprintf("deck %q, edge %d of %d", d.Name, i+1, len(d.Outline))
	if i < len(d.Edges) && d.Edges[i].Condition != "" {
		text += " (" + string(d.Edges[i].Condition) + ")"
	}
	return text
}
