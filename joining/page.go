package joining

import "maps"

// fromPage reads the page's own form of a document; false where it is none.
func fromPage(doc any) (member, bool) {
	top, ok := doc.(fields)
	list, isList := top[decks].([]any)
	own, hasFields := top["fields"].(fields)
	if !ok || !isList || !hasFields {
		return member{}, false
	}
	out := member{fields: own, lists: map[string][]member{}}
	seen := map[string]bool{}
	for _, v := range list {
		deck, ok := pageMember(v, seen)
		if !ok {
			return member{}, false
		}
		d := v.(fields)
		for _, name := range append([]string{corners}, pieceLists...) {
			members, ok := d[name].([]any)
			if !ok {
				return member{}, false
			}
			for _, m := range members {
				one, ok := pageMember(m, seen)
				if name == corners {
					one, ok = pageCorner(m, seen)
				}
				if !ok {
					return member{}, false
				}
				deck.lists[name] = append(deck.lists[name], one)
			}
		}
		out.lists[decks] = append(out.lists[decks], deck)
	}
	return out, true
}

// idOf is the id of a member, which nobody else in the document bears.
func idOf(v any, seen map[string]bool) (fields, string, bool) {
	m, ok := v.(fields)
	id, named := m["id"].(string)
	if !ok || !named || id == "" || seen[id] {
		return nil, "", false
	}
	seen[id] = true
	return m, id, true
}

func pageMember(v any, seen map[string]bool) (member, bool) {
	m, _ := v.(fields)
	own, ok := m["fields"].(fields)
	if !ok {
		return member{}, false
	}
	_, id, ok := idOf(v, seen)
	return member{id: id, fields: own, lists: map[string][]member{}}, ok
}

func pageCorner(v any, seen map[string]bool) (member, bool) {
	m, id, ok := idOf(v, seen)
	edge, hasEdge := m["edge"].(fields)
	if !ok || !hasEdge || m["x"] == nil || m["y"] == nil {
		return member{}, false
	}
	return member{id: id, fields: fields{place: []any{m["x"], m["y"]}, "edge": edge}}, true
}

// place is where a corner lies: one thing, though it is two numbers.
const place = "place"

// toPage writes the page's own form.
func toPage(doc *member) any {
	list := []any{}
	for _, deck := range doc.lists[decks] {
		d := fields{"id": deck.id, "fields": deck.fields}
		cs := []any{}
		for _, c := range deck.lists[corners] {
			at := c.fields[place].([]any)
			cs = append(cs, fields{"id": c.id, "x": at[0], "y": at[1], "edge": c.fields["edge"]})
		}
		d[corners] = cs
		for _, name := range pieceLists {
			ps := []any{}
			for _, p := range deck.lists[name] {
				ps = append(ps, fields{"id": p.id, "fields": p.fields})
			}
			d[name] = ps
		}
		list = append(list, d)
	}
	return fields{"fields": doc.fields, decks: list}
}

// unsaid stands in a roof file where nobody has said the word yet.
const unsaid = "ask"

// pageRoof is the roof file that the page's form stands for, as page/model/roofjson.ts makes it.
func pageRoof(doc *member) fields {
	out := withDecks(doc, pageDeck)
	out["version"] = 1
	return out
}

func pageDeck(deck *member) fields {
	out := maps.Clone(deck.fields)
	edges, outline := []any{}, []any{}
	for _, c := range deck.lists[corners] {
		outline = append(outline, c.fields[place])
		edge, _ := c.fields["edge"].(fields)
		edge = maps.Clone(edge)
		if edge["condition"] == nil {
			edge["condition"] = unsaid
		}
		edges = append(edges, shortEdge(edge))
	}
	if _, taped := deck.fields["survey"].(fields); !taped {
		out["outline"] = outline
	}
	out["edges"] = edges
	out["fall"] = pageFall(deck.fields["fall"])
	for _, name := range pieceLists {
		var list []any
		for _, p := range deck.lists[name] {
			if name != "movement_joints" {
				list = append(list, p.fields)
			} else if line := p.fields["line"]; line != nil {
				list = append(list, line)
			} else {
				list = append(list, []any{})
			}
		}
		if len(list) > 0 {
			out[name] = list
		}
	}
	return out
}

// shortEdge is an edge of which nothing but the condition is known as that word alone.
func shortEdge(edge fields) any {
	if len(edge) == 1 && edge["condition"] != nil {
		return edge["condition"]
	}
	return edge
}

// pageFall is a fall that says where the water runs, or that nobody has said it yet.
func pageFall(v any) any {
	fall, ok := v.(fields)
	if !ok {
		return fields{"towards": unsaid}
	}
	kind := fall["kind"]
	if kind == nil && fall["to_point"] == nil || kind == "one way" {
		if fall["towards"] == nil {
			fall = maps.Clone(fall)
			fall["towards"] = unsaid
		}
	}
	return fall
}
