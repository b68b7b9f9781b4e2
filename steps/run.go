package steps

import (
	"context"
	"fmt"
)

// Runner runs steps. Its zero value keeps nothing and reports nothing.
type Runner struct {
	// Cache keeps outputs from one run to the next; nil for none.
	Cache *Cache
	// Progress, when set, is told each step as it begins to run; one whose output was kept
	// does not run.
	Progress func(step string)
}

// Made is what a step has made, with the key of what it was made from.
type Made[T any] struct {
	key   Key
	Value T
}

// Of is a value that no step made, for a step that asks for one: it has no key, and a step
// that is given it is never kept.
func Of[T any](v T) Made[T] { return Made[T]{Value: v} }

// Run runs a step, or hands out what it made of the same input before. An error is not kept,
// nor what was made under a context that is done: it may be cut short.
func Run[I, O any](ctx context.Context, r Runner, name string, in I, do func(context.Context, I) (O, error)) (Made[O], error) {
	var out Made[O]
	if err := ctx.Err(); err != nil {
		return out, fmt.Errorf("%s: %w", name, err)
	}
	known := false
	if r.Cache != nil {
		if out.key, known = keyOf(name, in); known {
			if v, ok := r.Cache.find(out.key); ok {
				if kept, ok := v.(O); ok {
					out.Value = kept
					return out, nil
				}
			}
		}
	}
	if r.Progress != nil {
		r.Progress(name)
	}
	v, err := do(ctx, in)
	if err != nil {
		return Made[O]{}, fmt.Errorf("%s: %w", name, err)
	}
	out.Value = v
	if r.Cache != nil {
		r.Cache.ran(name)
		if known && ctx.Err() == nil {
			r.Cache.keep(out.key, v)
		}
	}
	return out, nil
}
