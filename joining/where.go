package joining

import "fmt"

// at is where a difference is.
type at struct {
	// key names it, where and field tell it.
	key, where, field string
}

func (a at) fieldOf(name string) at {
	out := at{a.key + "/" + name, a.where, name}
	if a.field != "" {
		out.field = a.field + "." + name
	}
	return out
}

// words are what a member of a list is called.
var words = map[string]string{decks: "deck", corners: "edge", "openings": "opening", "penetrations": "penetration",
	"movement_joints": "movement joint"}

// memberOf is a member of a list: a deck by its name, others by their place as it was, or as it is where they were added.
func (a at) memberOf(list, id string, all *three) at {
	n, name := 0, ""
	for i := range all.lists {
		if m := all.of(i, id); m != nil {
			n = all.indexes[i][id]
			name, _ = m.fields["name"].(string)
			break
		}
	}
	told := fmt.Sprintf("%s %d", words[list], n)
	if list == decks && name != "" {
		told = words[list] + " " + name
	}
	if a.where != "" {
		told = a.where + ", " + told
	}
	return at{a.key + "/" + list + "/" + id, told, ""}
}
