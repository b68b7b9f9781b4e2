package joining

import (
	"errors"
	"maps"
)

// document is a document as it is read.
type document struct {
	top fields
	// page is the page's own form and history what it keeps beside it; nil where no page has kept it.
	page    *member
	history any
	roof    *member
	plain   *member
}

// errNoDocument is that a text holds no document.
var errNoDocument = errors.New(`a document is {"roof": {…}} with the fields of a roof file`)

func documentOf(raw []byte) (*document, error) {
	v, err := read(raw)
	if err != nil {
		return nil, err
	}
	top, ok := v.(fields)
	if !ok {
		return nil, errNoDocument
	}
	own, ok := top["roof"].(fields)
	if !ok {
		return nil, errNoDocument
	}
	d := &document{top: maps.Clone(top), plain: &member{fields: own}}
	if page, ok := top["page"].(fields); ok {
		if m, ok := fromPage(page["doc"]); ok {
			d.page, d.history = &m, page["history"]
		}
	}
	if m, ok := fromRoof(own); ok {
		d.roof = &m
	}
	delete(d.top, "roof")
	delete(d.top, "page")
	return d, nil
}

// form is how three documents can be joined: by the page's ids, as roof files, or field by field.
type form struct {
	trees    [3]*member
	document func(read [3]*document, joined *member) []byte
}

func formOf(read [3]*document) form {
	b, m, t := read[0], read[1], read[2]
	switch {
	case b.page != nil && m.page != nil && t.page != nil:
		return form{[3]*member{b.page, m.page, t.page}, func(read [3]*document, joined *member) []byte {
			// What was undone is mine; what no longer fits says so when it is asked for.
			return withRoof(read, pageRoof(joined), fields{"doc": toPage(joined), "history": read[1].history})
		}}
	case b.roof != nil && m.roof != nil && t.roof != nil:
		name(b.roof, b.roof)
		name(b.roof, m.roof)
		name(b.roof, t.roof)
		return form{[3]*member{b.roof, m.roof, t.roof}, func(read [3]*document, joined *member) []byte {
			return withRoof(read, toRoof(joined), nil)
		}}
	}
	return form{[3]*member{b.plain, m.plain, t.plain}, func(read [3]*document, joined *member) []byte {
		return withRoof(read, joined.fields, nil)
	}}
}

// withRoof is the joined document; what stands beside roof and page is mine.
func withRoof(read [3]*document, roof fields, page any) []byte {
	out := maps.Clone(read[1].top)
	out["roof"], out["page"] = roof, page
	return write(out)
}
