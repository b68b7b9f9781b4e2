package form

import "fmt"

// Item is an entry of a list: how it is read, written and described.
type Item[S any] struct {
	What   string
	Schema Schema
	Read   func(v Value) (S, bool)
	Write  func(s *S, path string, o Omit) any
}

// ObjectItem makes list entries of an object.
func ObjectItem[S any](what string, o *Object[S]) Item[S] {
	return Item[S]{What: what, Schema: o.Schema(),
		Read: func(v Value) (S, bool) {
			var s S
			o.Read(v, &s)
			return s, true
		},
		Write: func(s *S, path string, omit Omit) any { return o.Write(s, path, omit) }}
}

// NumberItem makes list entries of numbers.
func NumberItem(r Range) Item[float64] {
	if r.Unit != "" && r.Measure == nil {
		r.Measure = measure(r.Unit)
	}
	return Item[float64]{What: "numbers", Schema: NumberSchema(r),
		Read:  func(v Value) (float64, bool) { return v.Number(r) },
		Write: func(x *float64, _ string, _ Omit) any { return *x }}
}

// List is a field that holds a list of at most most entries.
func List[T, S any](name, doc string, most int, item Item[S], at func(*T) *[]S, examples ...any) Field[T] {
	return Field[T]{Name: name, Schema: described(doc, Schema{"type": "array", "items": item.Schema, "maxItems": most}, examples),
		Read: func(v Value, t *T) {
			items := v.Items(item.What)
			if len(items) > most {
				v.Fault("list.long", fmt.Sprintf("there are %d %s, more than %d", len(items), item.What, most), "Split the job")
				return
			}
			for _, x := range items {
				if s, ok := item.Read(x); ok {
					*at(t) = append(*at(t), s)
				}
			}
		},
		Write: func(t *T, path string, o Omit) any {
			list := *at(t)
			if o.skip(path, len(list) == 0) {
				return nil
			}
			out := make([]any, len(list))
			for i := range list {
				out[i] = item.Write(&list[i], fmt.Sprintf("%s[%d]", path, i), o)
			}
			return out
		}}
}

// Some is a list that is left out rather than empty.
func Some[T any](f Field[T]) Field[T] {
	read := f.Read
	f.Schema = Merge(f.Schema, Schema{"minItems": 1})
	f.Read = func(v Value, t *T) {
		if v.IsList() && len(v.Items(f.Name)) == 0 {
			v.Fault("list.empty", "the list is empty", "Write at least one entry, or leave the field out")
			return
		}
		read(v, t)
	}
	return f
}
