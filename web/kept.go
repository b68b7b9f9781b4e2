package web

import (
	"context"
	"errors"
	"slices"
	"sync"
)

// kept keeps the last answers of long work by their keys. Who asks for one that is being made waits for it; where its maker
// goes away, one who waits makes it. At most so many are made at once as there are slots.
type kept[V any] struct {
	// most is how much all that are kept may weigh; the one that was asked for last stays however much it weighs.
	most   int
	weight func(V) int
	slots  chan struct{}

	mu sync.Mutex
	of map[string]*made[V]
	// sum is what those weigh that are there.
	sum int
	// order are the keys, that asked for last at the end.
	order []string
}

// made is an answer that is there or will be.
type made[V any] struct {
	done   chan struct{}
	value  V
	err    error
	weight int
}

// keep makes a store of at most so many answers; slots are shared by all work that is to wait for each other.
func keep[V any](most int, slots chan struct{}) *kept[V] {
	return keepBy(most, func(V) int { return 1 }, slots)
}

// keepBy makes a store of answers that together weigh at most so much.
func keepBy[V any](most int, weight func(V) int, slots chan struct{}) *kept[V] {
	return &kept[V]{most: most, weight: weight, slots: slots, of: map[string]*made[V]{}}
}

// get gives the answer of a key, made where it is not there. A refusal is kept too: the same question has the same answer.
func (k *kept[V]) get(ctx context.Context, key string, work func(context.Context) (V, error)) (V, error) {
	for {
		m, mine := k.find(key)
		if mine {
			k.make(ctx, key, m, work)
			return m.value, m.err
		}
		select {
		case <-ctx.Done():
			var none V
			return none, ctx.Err()
		case <-m.done:
		}
		if !errors.Is(m.err, context.Canceled) && !errors.Is(m.err, context.DeadlineExceeded) {
			return m.value, m.err
		}
	}
}

// errBroken is what those are told who wait for work that broke down.
var errBroken = errors.New("the program met a fault of its own")

// make makes an answer; one that was cut off, or broke down, is not kept.
func (k *kept[V]) make(ctx context.Context, key string, m *made[V], work func(context.Context) (V, error)) {
	m.err = errBroken
	defer func() {
		if m.err != nil && (ctx.Err() != nil || errors.Is(m.err, errBroken)) {
			k.drop(key, m)
		} else {
			k.weigh(key, m)
		}
		close(m.done)
	}()
	m.value, m.err = k.work(ctx, work)
}

// find is the answer of a key, and whether the caller is to make it.
func (k *kept[V]) find(key string) (m *made[V], mine bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	m = k.of[key]
	if m == nil {
		m, mine = &made[V]{done: make(chan struct{})}, true
		k.of[key] = m
	} else {
		k.order = slices.DeleteFunc(k.order, func(x string) bool { return x == key })
	}
	k.order = append(k.order, key)
	return m, mine
}

// weigh counts an answer that is there now, and forgets those for which there is no room any more.
func (k *kept[V]) weigh(key string, m *made[V]) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of[key] != m {
		return // it was forgotten while it was made
	}
	m.weight = max(1, k.weight(m.value))
	for k.sum += m.weight; k.sum > k.most && len(k.order) > 1; k.order = slices.Delete(k.order, 0, 1) {
		k.sum -= k.of[k.order[0]].weight
		delete(k.of, k.order[0])
	}
}

// drop forgets an answer.
func (k *kept[V]) drop(key string, m *made[V]) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if i := slices.Index(k.order, key); i >= 0 && k.of[key] == m {
		k.order = slices.Delete(k.order, i, i+1)
		delete(k.of, key)
	}
}

// work does the work in a slot.
func (k *kept[V]) work(ctx context.Context, work func(context.Context) (V, error)) (V, error) {
	select {
	case <-ctx.Done():
		var none V
		return none, ctx.Err()
	case k.slots <- struct{}{}:
	}
	defer func() { <-k.slots }()
	return work(ctx)
}
